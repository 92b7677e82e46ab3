"""Differences of two revisions of a pattern."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, get

from api.access.scopes import READ, asks
from api.operations import comparing
from api.problems import documented
from api.query import REVISION
from api.resources.answers import ETAG, JSON, VARY, chosen
from api.resources.dependencies import AtBench
from api.resources.parameters import Accept, FromRevision, IfNoneMatch, PatternPath, RevisionPath
from api.schemas.comparisons import Difference


class DifferenceController(Controller):
    """What changes from one revision to another."""

    tags = ("Patterns",)
    opt = asks(READ)

    @get(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/difference",
        operation_id="readDifference",
        summary="Read what has changed since another revision",
        responses=documented("not-acceptable", "faults", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
        opt={"query": {"from": REVISION}},
    )
    async def read(
        self,
        bench: AtBench,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
        from_revision: FromRevision,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[Difference]:
        """Gives, for each size that both revisions have, the pieces, seams, findings and steps that change."""
        found = await comparing.difference(bench, pattern_id, from_revision, revision_id)
        answer: Response[Any] = chosen({JSON: found.encode()}, accept, if_none_match)
        return answer
