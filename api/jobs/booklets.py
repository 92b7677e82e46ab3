"""What workers do for booklets: print one of a grade, or of all sizes of a pattern."""

from __future__ import annotations

import base64
import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.reading import refusing, regraded

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


def of_grade(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The booklet of a grade as PDF, in base 64; refuses `document`, `request`, `outdated`, `stopped`."""
    grade = regraded(arguments, stop)
    laid = None if arguments["layouts"] is None else json.loads(arguments["layouts"])
    with refusing():
        sizes = [grading.size_papers(grade, laid)]
        return _packed(grading.booklet_of(json.loads(arguments["document"]), sizes, arguments["paper"], stop))


def of_all_sizes(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The booklet of all named sizes as PDF, in base 64; with `lay` they are laid out.

    Refuses `document`, `request`, `conflict`, `ruler`, `stopped`.
    """
    document = json.loads(arguments["document"])
    with refusing():
        return _packed(grading.booklet_of_all(document, arguments["paper"], stop, lay=arguments["lay"]))


def _packed(content: bytes) -> str:
    """Bytes as the messages of a worker carry them: in base 64 (RFC 4648)."""
    return base64.b64encode(content).decode("ascii")
