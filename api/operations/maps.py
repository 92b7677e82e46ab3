"""Solution maps. Nothing is stored: revisions never change, and so neither do their maps."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from api.operations.errors import RequestRefused
from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


async def solution_map(bench: Bench, pattern: str, revision: str, options: dict[str, str]) -> str:
    """What a revision's equations decide in every size with these options (others as usual), as JSON text.

    Raises Missing, DocumentRefused, RequestRefused (paths as in `query.option`), SizeConflict and TooMuchWork.
    """
    source = await read_revision(bench, pattern, revision)
    try:
        return str(await solved(bench, "map", document=source.document, options=options))
    except RequestRefused as refused:
        faults = [
            replace(fault, path=f"query.{fault.path.replace('options', 'option', 1)}") for fault in refused.faults
        ]
        raise RequestRefused(faults) from None
