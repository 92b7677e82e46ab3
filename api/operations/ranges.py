"""Ranges of sizes. Nothing is stored."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


async def size_range(bench: Bench, pattern: str, revision: str, request: dict[str, Any]) -> str:
    """Whether every size of a range can be made, as JSON text.

    Raises Missing, DocumentRefused, RequestRefused, SizeConflict and TooMuchWork.
    """
    source = await read_revision(bench, pattern, revision)
    asked = json.dumps(request, ensure_ascii=False)
    return str(await solved(bench, "range", document=source.document, request=asked))
