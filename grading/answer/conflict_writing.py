"""The document of a conflict: plain data, as the reference lays it down."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from grading.errors import Conflict, ConflictBranch, ConflictSet, RelationInConflict
from grading.exact import print_length

Json = dict[str, Any]


def write_conflict(conflict: Conflict) -> Json:
    """The conflict as plain data; what was asked stands in it where a size was."""
    refused = conflict.refused
    asked = (
        {}
        if refused is None
        else {
            "pattern": refused.pattern,
            "size": {"name": refused.size, "request": dict(refused.request)},
            "ruler": refused.ruler,
        }
    )
    return {"format": 1, "kind": "conflict", **asked, **conflict_parts(conflict)}


def conflict_parts(conflict: Conflict) -> Json:
    """What a conflict is, apart from what was asked."""
    parts = {
        **_set(ConflictSet(conflict.relations, conflict.certificate)),
        "limits": [
            {"relation": limit.relation, "needs": limit.needs, "reaches": limit.reaches, "says": limit.says}
            for limit in conflict.limits
        ],
        "remedies": [
            {
                "change": remedy.change,
                "request": None if remedy.request is None else dict(remedy.request),
                "distance": round(float(remedy.distance), 4),
            }
            for remedy in conflict.remedies
        ],
    }
    if conflict.further:
        parts["further"] = [_set(each) for each in conflict.further]
    return parts


def _set(found: ConflictSet) -> Json:
    return {
        "relations": [_relation(relation) for relation in found.relations],
        "certificate": [_branch(branch) for branch in found.certificate],
    }


def _relation(relation: RelationInConflict) -> Json:
    return {"id": relation.id, "says": relation.says, "because": relation.because, "path": relation.path}


def _branch(branch: ConflictBranch) -> Json:
    order = {} if branch.order is None else {"order": list(branch.order)}
    stock = {name: print_length(value) for name, value in branch.stock.items()}
    return {"stock": stock, **order, "multipliers": _rationals(branch.multipliers)}


def _rationals(values: Mapping[str, Fraction]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}
