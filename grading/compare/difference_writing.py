"""The difference of two revisions as plain data for JSON."""

from __future__ import annotations

from typing import Any

from grading.compare.changes import Change, PartChange
from grading.compare.chart_writing import state_of, write_refusal
from grading.compare.difference import Difference, SizeDifference

Json = dict[str, Any]
LISTS = ("asked", "dimensions", "steps")
PARTS = ("pieces", "seams", "coverings", "findings")


def write_difference(difference: Difference) -> Json:
    """The difference as plain data. Lengths are texts with their unit, each on the ruler of its own side."""
    return {
        "format": 1,
        "kind": "difference",
        "old": {"pattern": difference.old.name, "state": state_of(difference.old)},
        "new": {"pattern": difference.new.name, "state": state_of(difference.new)},
        "sizes": [_size(size) for size in difference.sizes],
        "only_old": list(difference.only_old),
        "only_new": list(difference.only_new),
        "published": list(difference.published),
        "says": summary(difference),
    }


def summary(difference: Difference) -> str:
    """How many sizes change, and which published ones, in one line."""
    changed = [size.name for size in difference.sizes if size.is_changed]
    says = f"{len(changed)} of {len(difference.sizes)} sizes change"
    if difference.published:
        says += f"; published and affected: {', '.join(difference.published)}"
    return says


def _size(size: SizeDifference) -> Json:
    refused = {"before": size.refused_before, "after": size.refused_after}
    return {
        "name": size.name,
        "changed": size.is_changed,
        "refused": {side: None if refusal is None else write_refusal(refusal) for side, refusal in refused.items()},
        **{key: [_change(change) for change in getattr(size, key)] for key in LISTS},
        **{key: [_part(part) for part in getattr(size, key)] for key in PARTS},
    }


def _part(part: PartChange) -> Json:
    return {"name": part.name, "kind": part.kind, "changes": [_change(change) for change in part.changes]}


def _change(change: Change) -> Json:
    return {"what": change.what, "before": change.before, "after": change.after, "by": change.by}
