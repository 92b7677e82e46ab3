"""Printing booklets. Nothing is stored: what they are made from never changes, and so neither do they."""

from __future__ import annotations

from base64 import b64decode
from typing import TYPE_CHECKING

from api.operations.errors import Fault, RequestRefused
from api.operations.grades import regraded
from api.operations.layouts import read as read_layouts
from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


async def of_grade(bench: Bench, grade: str, paper: str, layouts: str | None) -> bytes:
    """The booklet of a grade as PDF, with these layouts of it.

    Raises Missing, GradeOutdated, RequestRefused, also for layouts of another grade and for a grade on a ruler of the
    other system than the pattern's edition, and TooMuchWork.
    """
    arguments = await regraded(bench, grade)
    laid = None if layouts is None else await read_layouts(bench, layouts)
    if laid is not None and laid.grade != grade:
        fault = Fault("query.layouts", "these layouts are of another grade", "name layouts of this grade")
        raise RequestRefused([fault])
    document = None if laid is None else laid.document
    return b64decode(str(await solved(bench, "booklet", **arguments, layouts=document, paper=paper)))


async def of_revision(bench: Bench, pattern: str, revision: str, paper: str, *, lay: bool) -> bytes:
    """The booklet of all named sizes of a revision as PDF, laid out or not.

    Raises Missing, DocumentRefused, RequestRefused, SizeConflict, RulerTooCoarse and TooMuchWork.
    """
    source = await read_revision(bench, pattern, revision)
    return b64decode(str(await solved(bench, "whole_booklet", document=source.document, paper=paper, lay=lay)))
