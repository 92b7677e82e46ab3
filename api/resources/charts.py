"""Size charts of revisions."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, get

from api.access.scopes import READ, asks
from api.operations import comparing
from api.problems import documented
from api.resources.answers import CSV, ETAG, JSON, VARY, chosen
from api.resources.dependencies import AtBench
from api.resources.parameters import Accept, IfNoneMatch, PatternPath, RevisionPath
from api.schemas.comparisons import Chart


class ChartController(Controller):
    """Charts of all named sizes, which never change."""

    tags = ("Patterns",)
    opt = asks(READ)

    @get(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/chart",
        operation_id="readChart",
        summary="Read a size chart",
        responses=documented("not-acceptable", "faults", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
    )
    async def read(
        self,
        bench: AtBench,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[Chart]:
        """Gives all named sizes beside each other, as JSON or as a table in CSV, and what held each back."""
        chart = await comparing.chart(bench, pattern_id, revision_id)
        answer: Response[Any] = chosen({JSON: chart.document.encode(), CSV: chart.csv.encode()}, accept, if_none_match)
        return answer
