"""Solution maps. Nothing is stored: revisions never change, and so neither do their maps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


async def solution_map(bench: Bench, pattern: str, revision: str) -> str:
    """What a revision's equations decide in every size, as JSON text.

    Raises Missing, DocumentRefused, SizeConflict and TooMuchWork.
    """
    source = await read_revision(bench, pattern, revision)
    return str(await solved(bench, "map", document=source.document))
