"""What a grade needs besides its pieces, and how thick its seams are. Nothing is stored."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from api.operations.errors import Fault, RequestRefused
from api.operations.grades import regraded
from api.operations.layouts import read as read_layouts
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


@dataclass(frozen=True)
class Supplies:
    """A list of supplies as JSON text and as CSV."""

    document: str
    csv: str


async def supplies(bench: Bench, grade: str, settings: dict[str, Any], layouts: str | None, where: str) -> Supplies:
    """What a grade needs, with its layouts the cloth too; `where` is the path of their name in the request.

    Raises Missing, GradeOutdated, RequestRefused and TooMuchWork.
    """
    arguments = await regraded(bench, grade)
    laid = None if layouts is None else await read_layouts(bench, layouts)
    if laid is not None and laid.grade != grade:
        raise RequestRefused([Fault(where, "these layouts are of another grade", "name layouts of this grade")])
    document = None if laid is None else laid.document
    return Supplies(**await solved(bench, "supplies", **arguments, settings=settings, layouts=document))


async def bulk(bench: Bench, grade: str, settings: dict[str, Any]) -> str:
    """How thick the layers of a grade lie at every seam, as JSON text; raises as `supplies` does."""
    return str(await solved(bench, "bulk", **await regraded(bench, grade), settings=settings))
