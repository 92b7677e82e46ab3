"""Setting sizes and revisions beside each other. Nothing is stored: revisions never change, and so neither do these."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


@dataclass(frozen=True)
class SizeChart:
    """A size chart as JSON text and as CSV."""

    document: str
    csv: str


async def chart(bench: Bench, pattern: str, revision: str) -> SizeChart:
    """All named sizes of a revision beside each other; raises Missing, DocumentRefused and TooMuchWork."""
    source = await read_revision(bench, pattern, revision)
    return SizeChart(**await solved(bench, "chart", document=source.document))


async def difference(bench: Bench, pattern: str, old: str, new: str) -> str:
    """What changes from one revision of a pattern to another, as JSON text; raises as `chart` does."""
    before = await read_revision(bench, pattern, old)
    after = await read_revision(bench, pattern, new)
    return str(await solved(bench, "difference", old=before.document, new=after.document))
