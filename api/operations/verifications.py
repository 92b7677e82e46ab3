"""Having grades and measured pieces judged by the independent verifier."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from api.operations.grades import read
from api.operations.identity import written
from api.operations.patterns import revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


async def stored_grade(bench: Bench, grade: str) -> dict[str, Any]:
    """The verdict on a stored grade; raises Missing."""
    found = await read(bench, grade)
    source = await revision(bench, found.pattern, found.revision)
    return await _judged(bench, document=source.document, grade=found.document)


async def posted_grade(bench: Bench, document: dict[str, Any], grade: dict[str, Any]) -> dict[str, Any]:
    """The verdict on a grade that was sent; raises RequestRefused when it cannot be read."""
    return await _judged(bench, document=written(document), grade=written(grade))


async def measured_pieces(bench: Bench, document: dict[str, Any], measured: dict[str, Any]) -> dict[str, Any]:
    """The verdict on pieces measured at the table; raises RequestRefused when they cannot be read."""
    return await _judged(bench, document=written(document), measured=written(measured))


async def _judged(bench: Bench, **texts: str) -> dict[str, Any]:
    return cast("dict[str, Any]", await solved(bench, "judge", **texts))
