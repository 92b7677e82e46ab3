"""Batches in parts, so that several workers can be at one; and the answers to the parts as one answer."""

from __future__ import annotations

import json
from math import ceil
from typing import TYPE_CHECKING, Any

from api.jobs.batching import joined

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    Json = dict[str, Any]

LEAST_ROWS, MOST_ROWS = 500, 5000
"""Rows of a part: fewer are not worth a message, more would keep others waiting."""
PARTS_EACH = 4
"""Parts for each worker, so that one that is slow or lost holds up little."""
MOST_FAULTS = 20


def parts(arguments: Mapping[str, Any], workers: int) -> Iterator[Json]:
    """The arguments of a batch's parts, in the order of their rows; `first` counts the rows before."""
    request = json.loads(arguments["request"])
    field = "scales" if request.get("scales") is not None else "rows"
    rows = request.get(field) or []
    size = min(max(ceil(len(rows) / (workers * PARTS_EACH)), LEAST_ROWS), MOST_ROWS)
    for first in range(0, max(len(rows), 1), size):
        asked = {**request, field: rows[first : first + size]} if rows else request
        yield {**arguments, "request": json.dumps(asked, ensure_ascii=False), "first": first}


def merged(asked: Sequence[Json], answers: Sequence[Json]) -> Json:
    """The answer to all parts: the lines in order; else a failure, or what was refused, with the rows of the whole."""
    failed = [answer for answer in answers if "failed" in answer]
    refused = [(part, answer["refused"]) for part, answer in zip(asked, answers, strict=True) if "refused" in answer]
    if failed:
        return failed[0]
    if not refused:
        return {"done": joined(answer["done"] for answer in answers)}
    others = [content for _, content in refused if content["kind"] != "request"]
    if others:
        return {"refused": others[0]}
    faults = [_moved(fault, part["first"]) for part, content in refused for fault in content["faults"]]
    told = [fault for place, fault in enumerate(faults) if fault not in faults[:place]]
    return {"refused": {"kind": "request", "faults": told[:MOST_FAULTS]}}


def _moved(fault: Json, first: int) -> Json:
    """A fault with the row counted in the whole batch."""
    field, _, rest = str(fault["path"]).partition(".")
    row, dot, column = rest.partition(".")
    if field not in ("rows", "scales") or not row.isdecimal():
        return fault
    return {**fault, "path": f"{field}.{int(row) + first}{dot}{column}"}
