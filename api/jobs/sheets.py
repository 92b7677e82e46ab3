"""What workers do for sheets: draw the templates of a grade, of all sizes of a pattern, and cutting layouts."""

from __future__ import annotations

import base64
import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.reading import refusing

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


def of_grade(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The templates of a stored grade, in base 64; refuses `request`."""
    grade, pattern = json.loads(arguments["grade"]), json.loads(arguments["document"])
    with refusing():
        return _packed(grading.grade_sheets(grade, pattern, arguments["settings"], arguments["form"]))


def of_all_sizes(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The nested templates of all named sizes, in base 64.

    Refuses `document`, `request`, `conflict`, `ruler`, `stopped`.
    """
    pattern = json.loads(arguments["document"])
    with refusing():
        return _packed(grading.nested_sheets(pattern, arguments["settings"], arguments["form"], stop))


def of_layouts(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """Stored layouts on paper as PDF, in base 64; refuses `request`."""
    laid, grade = json.loads(arguments["layouts"]), json.loads(arguments["grade"])
    with refusing():
        return _packed(grading.layout_sheets(laid, grade, arguments["paper"]))


def _packed(content: bytes) -> str:
    """Bytes as the messages of a worker carry them: in base 64 (RFC 4648)."""
    return base64.b64encode(content).decode("ascii")
