"""What workers do for charts and differences: grade all named sizes of a pattern, or of two."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.worker import Refusal
from grading import errors
from grading.document import read_pattern

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from grading.document import Pattern


def chart(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, str]:
    """The size chart of a pattern as JSON and as CSV; refuses `document`, `stopped`."""
    pattern = _read(arguments["document"])
    try:
        written = grading.chart_document(grading.size_chart(pattern, stop))
    except errors.Stopped as error:
        raise Refusal("stopped") from error
    return {"document": json.dumps(written, ensure_ascii=False), "csv": grading.chart_csv(written)}


def difference(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The difference of the pattern `old` and the pattern `new` as JSON; refuses `document`, `stopped`."""
    old, new = _read(arguments["old"]), _read(arguments["new"])
    try:
        written = grading.difference_document(grading.difference(old, new, stop))
    except errors.Stopped as error:
        raise Refusal("stopped") from error
    return json.dumps(written, ensure_ascii=False)


def _read(text: str) -> Pattern:
    try:
        return read_pattern(json.loads(text))
    except errors.DocumentFaults as error:
        faults = [{"path": fault.path, "problem": fault.problem, "remedy": fault.remedy} for fault in error.faults]
        raise Refusal("document", faults=faults) from error
