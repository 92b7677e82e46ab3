"""A conflict explained: what each relation needs, what could be done, and what else stands in the way."""

from __future__ import annotations

from grading.answer.asked import AskedSize
from grading.answer.limits import limits_of
from grading.answer.remedies import Works, remedies_of
from grading.errors import Conflict
from grading.solve import conflict_of, further_sets, stock_relation
from grading.solve.nearest import Stop


def explained(asked: AskedSize, conflict: Conflict, works: Works, stop: Stop | None = None) -> Conflict:
    """The conflict of a size with further sets, limits and remedies.

    Where the bag may be turned in a box, the conflict is looked for anew over all ways of turning; it is `conflict`
    where there is none. `works` tells whether a request gives a size. Raises Stopped.
    """
    alternatives = asked.alternatives
    if len(alternatives) > 1:
        conflict = conflict_of(alternatives, asked.compiled, stop) or conflict
    every = dict(asked.relations)
    for choice in alternatives[0].problem.stock:
        stock = stock_relation(choice, asked.ruler)
        every[stock.id] = stock
    ids = [relation.id for relation in conflict.relations]
    further = further_sets(alternatives, conflict, asked.compiled, stop)
    beside = dict.fromkeys(relation.id for each in further for relation in each.relations)
    return Conflict(
        conflict.relations,
        conflict.certificate,
        further,
        limits_of(asked, ids, stop),
        remedies_of(asked, [every[label] for label in ids], [every[label] for label in beside], works, stop),
        asked.refused,
    )
