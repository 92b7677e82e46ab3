"""Remedies of a conflict: changes that were tried, found to give a size on the ruler, and told nearest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from grading.answer.asked import AskedSize
from grading.answer.changes import SMALL, Change, change_of, outward, set_dimensions
from grading.answer.handles import handle_of
from grading.answer.together import FURTHER, changes_together, changes_with_all_given_up, from_stock
from grading.errors import Remedy
from grading.model import Relation
from grading.model.findings import stock_values
from grading.model.relation import Origin
from grading.solve import Alternative, Yielded, can_be_made, give_way, stock_label
from grading.solve.nearest import Stop, poll

MOST_REMEDIES = 5
MOST_CANDIDATES = 12
"""Relations of a conflict that are let give way, one at a time."""
MOST_TRIES = 30
"""Sizes that are solved to find remedies."""

Works = Callable[[Mapping[str, Any]], bool]


@dataclass(frozen=True)
class _Candidate:
    """Changes of which the first that works is a remedy, the nearest first."""

    changes: tuple[Change, ...]

    @property
    def distance(self) -> Fraction:
        """How far the nearest of them is."""
        return self.changes[0].distance


def remedies_of(
    asked: AskedSize,
    relations: Sequence[Relation],
    beside: Sequence[Relation],
    works: Works,
    stop: Stop | None = None,
) -> tuple[Remedy, ...]:
    """At most MOST_REMEDIES remedies for a conflict of these relations and stocks, the nearest first.

    `beside` are relations of further sets: what is fixed there may have to change together with what is fixed here.
    `works` tells whether a request gives a size. Counted, not timed. Raises Stopped.
    """
    together = [*relations, *beside]
    candidates = [
        *_single(asked, relations[:MOST_CANDIDATES], stop),
        *(_Candidate(changes) for changes in changes_together(asked, together, stop)),
        *_options(asked),
    ]
    found = _tried(asked, sorted(candidates, key=lambda each: each.distance), works, stop)
    if not found:
        found = _tried(asked, _candidate(changes_with_all_given_up(asked, together, stop)), works, stop)
    return tuple(sorted(found, key=lambda remedy: remedy.distance))


def _tried(asked: AskedSize, candidates: Iterable[_Candidate], works: Works, stop: Stop | None) -> list[Remedy]:
    """The remedies among candidates, at most MOST_REMEDIES, in the order given."""
    found: list[Remedy] = []
    tries = 0
    for candidate in candidates:
        for change in candidate.changes:
            poll(stop)
            if tries >= MOST_TRIES or len(found) >= MOST_REMEDIES:
                return found
            tries += 1
            if _does(asked, change, works, stop):
                found.append(Remedy(change.text, change.request, change.distance))
                break
    return found


def _does(asked: AskedSize, change: Change, works: Works, stop: Stop | None) -> bool:
    if change.request is not None:
        return works(change.request)
    return change.problem is not None and can_be_made(change.problem, asked.compiled, stop)


def _single(asked: AskedSize, relations: Sequence[Relation], stop: Stop | None) -> Iterator[_Candidate]:
    for relation in relations:
        if relation.origin is Origin.ASKED and from_stock(asked, relation):
            yield from _other_stock(asked, relation)
            continue
        best = _yielding(asked, relation.id, stop)
        if best is None:
            continue
        alternative, found = best
        if relation.origin is Origin.STOCK:
            yield from _added_stock(asked, relation, alternative, found)
            continue
        own = next(each for each in alternative.problem.relations if each.id == relation.id)
        handle = handle_of(asked, own, alternative.order, found.values)
        if handle is None:
            continue
        form = found.forms[relation.id]
        tried = (change_of(asked, alternative, own, handle, form, further) for further in FURTHER)
        yield from _candidate(change for change in tried if change is not None)


def _candidate(changes: Iterable[Change]) -> Iterator[_Candidate]:
    listed = tuple(changes)
    if listed:
        yield _Candidate(listed)


def _yielding(asked: AskedSize, label: str, stop: Stop | None) -> tuple[Alternative, Yielded] | None:
    """The way of turning in which a relation alone has to give way least; None if that does not help."""
    best: tuple[Alternative, Yielded] | None = None
    least = Fraction(0)
    for alternative in asked.alternatives:
        found = give_way(alternative.problem, {label}, asked.compiled, stop)
        if found is None:
            continue
        much = sum((abs(value) for value in found.forms.values()), Fraction(0))
        if best is None or much < least:
            best, least = (alternative, found), much
    return best


def _other_stock(asked: AskedSize, relation: Relation) -> Iterator[_Candidate]:
    """Other values from stock for a dimension that was asked for, the nearest first."""
    (name,) = relation.form.names
    old, text = -relation.form.constant, asked.ruler.text
    values = stock_values(asked.model.draft, asked.model.pattern.dimensions[name].stock or "")
    changes = []
    for value in sorted((value for value in values if value != old), key=lambda value: abs(value - old)):
        request = asked.written
        set_dimensions(request, {name: text(value)})
        words = f"choose {name} of {text(value)} from stock in place of {text(old)}"
        changes.append(Change(words, abs(value - old) / max(old, SMALL), request))
    yield from _candidate(changes)


def _added_stock(
    asked: AskedSize, relation: Relation, alternative: Alternative, found: Yielded
) -> Iterator[_Candidate]:
    """One more value in the stock that a dimension is chosen from."""
    problem, ruler = alternative.problem, asked.ruler
    (choice,) = (each for each in problem.stock if stock_label(each.dimension) == relation.id)
    aim = found.values[choice.dimension]
    nearest = min(choice.values, key=lambda value: abs(value - aim))
    changes = []
    for further in FURTHER:
        value = outward(ruler, nearest, aim, further)
        if value <= 0:
            continue
        added = replace(choice, values=tuple(sorted((*choice.values, value))))
        stock = tuple(added if each is choice else each for each in problem.stock)
        words = f"in the pattern, add {ruler.text(value)} to the stock that {choice.dimension} is chosen from"
        distance = abs(value - nearest) / max(nearest, SMALL)
        changes.append(Change(words, distance, None, replace(problem, stock=stock)))
    yield from _candidate(changes)


def _options(asked: AskedSize) -> Iterator[_Candidate]:
    for name, option in asked.options.items():
        chosen = {**{key: each.usual for key, each in asked.options.items()}, **(asked.request.options or {})}
        for choice in option.choices:
            if choice != chosen[name]:
                request = {**asked.written, "options": {**(asked.request.options or {}), name: choice}}
                words = f"choose {choice} for {name} in place of {chosen[name]}"
                yield _Candidate((Change(words, Fraction(1), request),))
