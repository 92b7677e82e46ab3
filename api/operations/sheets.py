"""Drawing sheets. Nothing is stored: what they are drawn from never changes, and so neither do they."""

from __future__ import annotations

from base64 import b64decode
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from api.operations.grades import read as read_grade
from api.operations.layouts import read as read_layouts
from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


@dataclass(frozen=True)
class Asked:
    """How templates are wanted: the library's settings, and `pdf`, `svg` or `dxf`."""

    settings: dict[str, Any]
    form: str


async def of_grade(bench: Bench, grade: str, asked: Asked) -> bytes:
    """The templates of a grade; raises Missing, RequestRefused and TooMuchWork."""
    found = await read_grade(bench, grade)
    source = await read_revision(bench, found.pattern, found.revision)
    arguments = {"document": source.document, "grade": found.document}
    return await _drawn(bench, "sheets", **arguments, settings=asked.settings, form=asked.form)


async def of_revision(bench: Bench, pattern: str, revision: str, asked: Asked) -> bytes:
    """The nested templates of all named sizes of a revision.

    Raises Missing, DocumentRefused, RequestRefused, SizeConflict, RulerTooCoarse and TooMuchWork.
    """
    source = await read_revision(bench, pattern, revision)
    return await _drawn(bench, "nested_sheets", document=source.document, settings=asked.settings, form=asked.form)


async def of_layouts(bench: Bench, layouts: str, paper: str) -> bytes:
    """Cutting layouts on paper as PDF; raises Missing, RequestRefused and TooMuchWork."""
    found = await read_layouts(bench, layouts)
    grade = await read_grade(bench, found.grade)
    arguments = {"layouts": found.document, "grade": grade.document}
    return await _drawn(bench, "layout_sheets", **arguments, paper=paper)


async def _drawn(bench: Bench, task: str, **arguments: Any) -> bytes:
    return b64decode(str(await solved(bench, task, **arguments)))
