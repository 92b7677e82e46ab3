"""Having grades, layouts, supplies and measured pieces judged by the independent verifier."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, cast

from api.operations.grades import read
from api.operations.identity import written
from api.operations.layouts import read as read_layouts
from api.operations.patterns import revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


async def stored_grade(bench: Bench, grade: str) -> dict[str, Any]:
    """The verdict on a stored grade; raises Missing."""
    found = await read(bench, grade)
    source = await revision(bench, found.pattern, found.revision)
    return await _judged(bench, document=source.document, grade=found.document)


async def stored_measured(bench: Bench, grade: str, measured: dict[str, Any]) -> dict[str, Any]:
    """The verdict on pieces that were cut for a stored grade; raises Missing and RequestRefused."""
    found = await read(bench, grade)
    document = json.loads((await revision(bench, found.pattern, found.revision)).document)
    graded = json.loads(found.document)
    size, sizes = graded["size"]["name"], document.setdefault("sizes", {})
    if size is None or graded["ruler"] != document.get("ruler", "1 mm"):
        size = "as_graded"
        while size in sizes:
            size += "_too"
        sizes[size] = {**graded["size"]["request"], "ruler": graded["ruler"]}
    return await _judged(bench, document=written(document), measured=written({**measured, "size": size}))


async def stored_layouts(bench: Bench, name: str) -> dict[str, Any]:
    """The verdict on stored layouts; raises Missing."""
    laid = await read_layouts(bench, name)
    found = await read(bench, laid.grade)
    source = await revision(bench, found.pattern, found.revision)
    return await _judged(bench, document=source.document, grade=found.document, layouts=laid.document)


async def posted(bench: Bench, document: dict[str, Any], **judged: dict[str, Any]) -> dict[str, Any]:
    """The verdict on what was sent: a grade, layouts or supplies of one, or measured pieces; raises RequestRefused."""
    return await _judged(bench, document=written(document), **{name: written(each) for name, each in judged.items()})


async def _judged(bench: Bench, **texts: str) -> dict[str, Any]:
    return cast("dict[str, Any]", await solved(bench, "judge", **texts))
