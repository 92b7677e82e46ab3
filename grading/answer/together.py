"""Changes of several wishes at once: as little of each as will do, and wishes that are given up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.answer.asked import AskedSize
from grading.answer.changes import SMALL, Change, outward, set_dimensions
from grading.model import Relation
from grading.model.relation import Origin
from grading.solve import Yielded, give_way
from grading.solve.nearest import Stop
from grading.solve.refusal import without

FURTHER = (0, 1, 2, 4)
"""Steps of the ruler beyond the nearest number that are tried too."""
STILL = Fraction(1, 100)
"""Parts of a step that count as no change."""


@dataclass(frozen=True)
class _GivenUp:
    """Something that a request has to hold, or stay within, that is given up: its words and relations.

    `number` is its place among the objects to hold, None for the box.
    """

    number: int | None
    words: str
    gone: frozenset[str]


def changes_together(
    asked: AskedSize, relations: Sequence[Relation], stop: Stop | None = None
) -> Iterator[tuple[Change, ...]]:
    """What was asked for and kept, and what is fixed in the conflict, changed together, with nothing given up, one
    thing, or all that stands in the way; each with the same a few steps further. `relations` are those of all sets."""
    wishes = list(_wishes(asked, relations))
    for given_up in dict.fromkeys([(), *((wish,) for wish in wishes), tuple(wishes)]):
        changes = tuple(_changes(asked, relations, given_up, stop))
        if changes:
            yield changes


def changes_with_all_given_up(
    asked: AskedSize, relations: Sequence[Relation], stop: Stop | None = None
) -> tuple[Change, ...]:
    """The same with every object and the box given up, whether or not a conflict has shown that they are in the way."""
    return tuple(_changes(asked, relations, tuple(_wishes(asked, list(asked.relations.values()))), stop))


def from_stock(asked: AskedSize, relation: Relation) -> bool:
    """Whether a relation is about a dimension that is sized from stock."""
    return any(asked.model.pattern.dimensions[name].sizing == "stock" for name in relation.form.names)


def _wishes(asked: AskedSize, relations: Sequence[Relation]) -> Iterator[_GivenUp]:
    every, origins = asked.relations, {relation.origin for relation in relations}
    holds = dict.fromkeys(int(each.id.split(":")[1]) for each in relations if each.origin is Origin.HOLD)
    for number in sorted(holds):
        about = (asked.request.hold or ())[number].says or "the object"
        gone = frozenset(label for label in every if label.startswith(f"hold:{number}:"))
        yield _GivenUp(number, f"go without fitting {about}", gone)
    if Origin.WITHIN in origins and asked.request.within is not None:
        about = asked.request.within.says or "the box"
        gone = frozenset(label for label in every if label.startswith("within:"))
        yield _GivenUp(None, f"go without staying within {about}", gone)


def _changes(
    asked: AskedSize, relations: Sequence[Relation], given_up: tuple[_GivenUp, ...], stop: Stop | None
) -> Iterator[Change]:
    fixed = {relation.id for relation in relations if relation.origin is Origin.FIXED}
    every = [
        each for each in asked.relations.values() if each.origin in {Origin.ASKED, Origin.KEPT} or each.id in fixed
    ]
    held = [each for each in every if not from_stock(asked, each)]
    best = _least(asked, held, frozenset(label for wish in given_up for label in wish.gone), stop)
    if best is None:
        return
    moved = [each for each in held if abs(best.forms[each.id]) > asked.ruler.step * STILL]
    if len(moved) > 1 or (moved and given_up):
        for further in FURTHER:
            yield _change(asked, given_up, moved, best, further)
    elif given_up:
        yield _change(asked, given_up, [], best, 0)


def _least(asked: AskedSize, held: Sequence[Relation], gone: frozenset[str], stop: Stop | None) -> Yielded | None:
    """The way of turning in which all that is held has to give way least."""
    labels = {own.id for own in held}
    problems = [without(each.problem, gone) for each in asked.alternatives]
    found = [give_way(problem, labels, asked.compiled, stop) for problem in problems]
    usable = [each for each in found if each is not None]
    return min(usable, key=lambda each: sum(abs(value) for value in each.forms.values()), default=None)


def _change(
    asked: AskedSize, given_up: Sequence[_GivenUp], moved: Sequence[Relation], found: Yielded, further: int
) -> Change:
    request, text = _left(asked, given_up), asked.ruler.text
    given: dict[str, str] = {}
    words: list[str] = []
    distance = Fraction(len(given_up))
    for relation in moved:
        (name,) = relation.form.names
        old = -relation.form.constant
        new = outward(asked.ruler, old, old + found.forms[relation.id], further)
        given[name] = text(new)
        words.append(f"{name} of {text(new)} in place of {text(old)}")
        distance += abs(new - old) / max(old, SMALL)
    if given:
        set_dimensions(request, given)
    parts = [wish.words for wish in given_up]
    parts += [f"ask for {_listed(words)}"] if words else []
    return Change(_listed(parts), distance, request)


def _listed(words: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def _left(asked: AskedSize, given_up: Sequence[_GivenUp]) -> dict[str, Any]:
    """The request without what is given up; it asks for the base size where it would ask for nothing."""
    request = asked.written
    for wish in reversed(given_up):
        if wish.number is None:
            del request["within"]
        else:
            del request["hold"][wish.number]
    if not request.get("hold"):
        request.pop("hold", None)
    if not set(request) - {"ruler"}:
        request["scale"] = 1
    return request
