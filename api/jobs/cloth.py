"""What workers do with cloth: layouts and their pictures, supplies, bulk."""

from __future__ import annotations

import json
import time
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.reading import refusing, regraded
from grading import packing

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from fractions import Fraction

RESERVE = 0.15
"""Seconds before the end of a given time that are kept for writing the layouts down."""


def layouts(arguments: Mapping[str, Any], stop: Callable[[], bool], tell: Callable[[Any], None]) -> dict[str, str]:
    """Layouts of a grade as JSON and as CSV, the best found until `until` where that is given; `tell` is told progress.

    Refuses `request`, `fit`, `outdated`, `stopped`.
    """
    grade = regraded(arguments, stop)
    ruler = grade.model.ruler

    def progress(role: str, length: Fraction, least: Fraction) -> None:
        above = grading.above_least(length, least)
        tell({role: {"length": ruler.text(length), "least": ruler.text(least), "above": above}})

    with refusing():
        laid = grading.layouts_of(grade, arguments["settings"], stop, progress, _hurry(arguments["until"]))
    document = grading.layouts_document(laid)
    return {"document": json.dumps(document, ensure_ascii=False), "csv": grading.layouts_csv(document)}


def _hurry(until: float | None) -> Callable[[Fraction], bool] | None:
    """Whether the time for a share of the work is over, of that which is left until then."""
    if until is None:
        return None
    begun = time.monotonic()
    left = until - RESERVE - begun
    return lambda share: time.monotonic() >= begun + float(share) * left


def picture(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """Stored layouts as SVG: of one cloth, or of all."""
    laid, grade = json.loads(arguments["layouts"]), json.loads(arguments["grade"])
    return str(grading.layout_picture(laid, grade, arguments["cloth"]))


def supplies(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, str]:
    """What a grade needs besides its pieces, with its layouts the cloth too; refuses as `bulk` does."""
    grade = regraded(arguments, stop)
    laid = None if arguments["layouts"] is None else json.loads(arguments["layouts"])
    with refusing():
        document = grading.supplies_document(grading.supplies_of(grade, arguments["settings"], laid))
    return {"document": json.dumps(document, ensure_ascii=False), "csv": grading.supplies_csv(document)}


def bulk(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """How thick the layers of a grade lie at every seam; refuses `request`, `outdated`, `stopped`."""
    grade = regraded(arguments, stop)
    with refusing():
        document = grading.bulk_document(grading.bulk_of(grade, arguments["settings"]))
    return json.dumps(document, ensure_ascii=False)


def warm(arguments: Mapping[str, Any], stop: Callable[[], bool], tell: Callable[[Any], None]) -> None:
    """Loads the library, whose inner loops are compiled then if they never were before."""
    _ = grading.layouts_of
    packing.warm()
