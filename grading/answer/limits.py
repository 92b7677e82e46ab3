"""What each relation of a conflict needs and what it could come to, with numbers, in a customer's words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from grading.answer.asked import AskedSize
from grading.answer.sides import sides_of
from grading.errors import ConflictLimit
from grading.exact import Enclosure, Ruler
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
"""Origins of relations that are told with numbers; seams and the like need nothing but themselves."""
MOST_LIMITS = 12
"""Relations that are told with numbers."""
MOST_REASONS = 4
"""Other relations that one sentence names."""
NEAR = Fraction(1, 1000)
"""Parts of a step within which a value that is not exact counts as a measure of the ruler."""
LONGEST_EXACT = 16
"""Characters of an exact length that a person still reads as a number."""


def limits_of(asked: AskedSize, ids: Iterable[str], stop: Stop | None = None) -> tuple[ConflictLimit, ...]:
    """The limits of an irreducible conflict, what the request asks for first. Exact but where roots take part.

    What a relation could come to is put on the ruler, on the side from which it falls short. Raises Stopped.
    """
    kept = frozenset(ids)
    ranked = sorted(
        (relation for relation in _every(asked.alternatives[0], kept) if relation.origin in LIMITED),
        key=lambda relation: LIMITED.index(relation.origin),
    )
    limits = []
    for relation in [each for each in ranked if each.form.names][:MOST_LIMITS]:
        found = reach_of(asked.alternatives, kept, relation.id, stop)
        if found is not None and found.form and found.relation.form.is_real(found.values):
            (alternative,) = (each for each in asked.alternatives if each.order == found.order)
            others = (other for other in _every(alternative, kept) if other.id != relation.id)
            limits.append(_limit(asked, found, others))
    # Where roots take part a shortfall may be too small to be told from none.
    return tuple(limit for limit in limits if limit.needs != limit.reaches)


def _every(alternative: Alternative, kept: frozenset[str]) -> list[Relation]:
    problem = alternative.problem
    stocks = (stock_relation(choice, problem.ruler) for choice in problem.stock)
    return [relation for relation in (*problem.relations, *stocks) if relation.id in kept]


def _limit(asked: AskedSize, reach: Reach, others: Iterable[Relation]) -> ConflictLimit:
    relation, ruler = reach.relation, asked.ruler
    above, below = sides_of(asked, relation)
    have, need = (side.enclosure(reach.values) for side in (above, below))
    at_most = reach.form < 0
    if above.is_constant and not relation.is_equation:
        have, need, at_most = need, have, False
    is_number = relation.is_equation or above.is_constant or below.is_constant
    needs = _shown(ruler, need) if is_number else _on_ruler(ruler, need, not at_most, reach.is_exact)
    reaches = _on_ruler(ruler, have, at_most, reach.is_exact)
    how = "it is to be" if relation.is_equation else "that needs" if at_most else "that allows"
    comes = f"it can be at most {reaches}" if at_most else f"it cannot be less than {reaches}"
    if at_most and have.high <= 0:
        comes = "no length would do"
    says = f"{relation.says} ({relation.because}): {how} {needs}, and {comes}{_since(others)}"
    return ConflictLimit(relation.id, needs, reaches, says)


def _on_ruler(ruler: Ruler, value: Enclosure, down: bool, is_exact: bool) -> str:
    """The nearest measure that is not above (or below) the value; one so near as floats can tell stays."""
    middle = (value.low + value.high) / 2
    near = round(middle / ruler.step) * ruler.step
    if not is_exact and abs(middle - near) < NEAR * ruler.step:
        middle = near
    return ruler.text(-ruler.raised(-middle) if down else ruler.raised(middle))


def _shown(ruler: Ruler, value: Enclosure) -> str:
    text = ruler.text(value.low)
    is_short = len(text) <= LONGEST_EXACT and not ("/" in text and text.endswith(" mm"))
    return text if value.low == value.high and is_short else ruler.near_text(value)


def _since(others: Iterable[Relation]) -> str:
    told = list(_reasons(others))
    if not told:
        return ""
    more = f", and {len(told) - MOST_REASONS} more" if len(told) > MOST_REASONS else ""
    return f", since {'; '.join(told[:MOST_REASONS])}{more}"


def _reasons(others: Iterable[Relation]) -> Iterator[str]:
    ranks = {origin: rank for rank, origin in enumerate(LIMITED)}
    for relation in sorted(others, key=lambda each: ranks.get(each.origin, len(ranks))):
        yield f"{relation.says} ({relation.because})"
