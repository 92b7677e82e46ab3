"""What each relation of a conflict needs and what it could come to, with numbers, in a customer's words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import TypeVar

from grading.errors import ConflictLimit
from grading.exact import Enclosure, Ruler
from grading.form import Form
from grading.model import Relation
from grading.model.relation import Origin
from grading.solve import Alternative, Reach, reach_of, stock_relation
from grading.solve.nearest import Stop

LIMITED = (
    Origin.ASKED,
    Origin.KEPT,
    Origin.HOLD,
    Origin.WITHIN,
    Origin.CONTENTS,
    Origin.LIMITS,
    Origin.FIXED,
    Origin.RULE,
    Origin.FINDING,
    Origin.CLOTH,
)
"""Origins of relations that are told with numbers; of the others, seams and the like, nothing is needed but themselves."""
MOST_LIMITS = 12
"""Relations that are told with numbers."""
MOST_REASONS = 4
"""Other relations that one sentence names."""
LONGEST_EXACT = 16
"""Characters of an exact length that a person still reads as a number."""

Key = TypeVar("Key")


def limits_of(
    alternatives: Sequence[Alternative], ids: Iterable[str], ruler: Ruler, stop: Stop | None = None
) -> tuple[ConflictLimit, ...]:
    """The limits of an irreducible conflict, what the request asks for first. Exact but where roots take part.

    What a relation could come to is put on the ruler, on the side from which it falls short. Raises Stopped.
    """
    kept = frozenset(ids)
    every = _every(alternatives, kept)
    ranked = sorted(
        (relation for relation in every if relation.origin in LIMITED and relation.form.names),
        key=lambda relation: LIMITED.index(relation.origin),
    )
    limits = []
    for relation in ranked[:MOST_LIMITS]:
        found = reach_of(alternatives, kept, relation.id, stop)
        if found is not None:
            limits.append(_limit(found, [other for other in every if other.id != relation.id], ruler))
    return tuple(limits)


def _every(alternatives: Sequence[Alternative], kept: frozenset[str]) -> list[Relation]:
    problem = alternatives[0].problem
    stocks = (stock_relation(choice, problem.ruler) for choice in problem.stock)
    return [relation for relation in (*problem.relations, *stocks) if relation.id in kept]


def _limit(reach: Reach, others: Sequence[Relation], ruler: Ruler) -> ConflictLimit:
    relation = reach.relation
    above, below = _sides(relation.form)
    have, need = (side.enclosure(reach.values) for side in (above, below))
    at_most = reach.form < 0
    if above.is_constant and not relation.is_equation:
        have, need, at_most = need, have, False
    needs = _shown(ruler, need) if (below if at_most else above).is_constant else _on_ruler(ruler, need, not at_most)
    if relation.is_equation:
        needs = _shown(ruler, need)
    reaches = _on_ruler(ruler, have, at_most)
    middle = (
        f"that needs {needs}, and it can be at most {reaches}"
        if at_most
        else f"that allows {needs}, and it cannot be less than {reaches}"
    )
    says = f"{relation.says} ({relation.because}): {middle}{_since(others)}"
    return ConflictLimit(relation.id, needs, reaches, says)


def _sides(form: Form) -> tuple[Form, Form]:
    """The form as the difference of two whose terms all have a positive sign."""
    return _positive(form), _positive(-form)


def _positive(form: Form) -> Form:
    return Form(*(_above_zero(terms) for terms in (form.plain, form.pi)), _above_zero(form.roots))


def _above_zero(terms: Mapping[Key, Fraction]) -> dict[Key, Fraction]:
    return {key: value for key, value in terms.items() if value > 0}


def _on_ruler(ruler: Ruler, value: Enclosure, down: bool) -> str:
    """The nearest measure that is not above (or below) the value; an exact one on the ruler stays."""
    middle = round((value.low + value.high) / 2, 9)
    return ruler.text(-ruler.raised(-middle) if down else ruler.raised(middle))


def _shown(ruler: Ruler, value: Enclosure) -> str:
    text = ruler.text(value.low)
    is_short = len(text) <= LONGEST_EXACT and not ("/" in text and text.endswith(" mm"))
    return text if value.low == value.high and is_short else ruler.near_text(value)


def _since(others: Sequence[Relation]) -> str:
    told = list(_reasons(others))
    if not told:
        return ""
    more = f", and {len(told) - MOST_REASONS} more" if len(told) > MOST_REASONS else ""
    return f", since {'; '.join(told[:MOST_REASONS])}{more}"


def _reasons(others: Sequence[Relation]) -> Iterator[str]:
    ranks = {origin: rank for rank, origin in enumerate(LIMITED)}
    for relation in sorted(others, key=lambda each: ranks.get(each.origin, len(ranks))):
        yield f"{relation.says} ({relation.because})"
