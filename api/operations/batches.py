"""Batches: many sizes of a revision at once. Nothing is stored."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from api.operations.patterns import revision as read_revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


async def solve(bench: Bench, pattern: str, revision: str, request: dict[str, Any]) -> str:
    """The nearest size of every row, packed by `api.jobs.batching`.

    All rows are solved before the first is sent, so that a refusal is never half an answer. Raises Missing,
    DocumentRefused, RequestRefused, SizeConflict and TooMuchWork.
    """
    source = await read_revision(bench, pattern, revision)
    asked = json.dumps(request, ensure_ascii=False)
    return str(await solved(bench, "batch", document=source.document, request=asked))
