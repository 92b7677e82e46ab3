"""What workers do for charts and differences: grade all named sizes of a pattern, or of two."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.reading import pattern_of, refusing

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


def chart(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, str]:
    """The size chart of a pattern as JSON and as CSV; refuses `document`, `stopped`."""
    with refusing():
        written = grading.chart_document(grading.size_chart(pattern_of(arguments["document"]), stop))
    return {"document": json.dumps(written, ensure_ascii=False), "csv": grading.chart_csv(written)}


def difference(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The difference of the pattern `old` and the pattern `new` as JSON; refuses `document`, `stopped`."""
    with refusing():
        old, new = pattern_of(arguments["old"]), pattern_of(arguments["new"])
        written = grading.difference_document(grading.difference(old, new, stop))
    return json.dumps(written, ensure_ascii=False)
