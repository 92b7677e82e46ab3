"""Changes of a revision that give another document. Nothing is stored: the client stores it if wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench
    from api.operations.grades import Asked


async def substitute(
    bench: Bench, pattern: str, revision: str, changes: list[dict[str, Any]], asked: Asked, settings: dict[str, Any]
) -> str:
    """The changed document with what changes in every size, and the cloth of the size asked for, as JSON text.

    Raises Missing, DocumentRefused, RequestRefused, SizeConflict, RulerTooCoarse, DoesNotFit and TooMuchWork.
    """
    source = await read_revision(bench, pattern, revision)
    size = {"size": asked.size, "request": asked.request, "ruler": asked.ruler}
    return str(await solved(bench, "substitute", document=source.document, changes=changes, **size, settings=settings))
