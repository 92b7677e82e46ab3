"""Solution maps of revisions."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, get

from api.negotiation import content_tag
from api.operations import maps
from api.problems import documented
from api.resources.answers import ETAG, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.parameters import IfNoneMatch, PatternPath, RevisionPath
from api.schemas.maps import SolutionMap


class MapController(Controller):
    """Maps of revisions for all sizes, which never change."""

    tags = ("Patterns",)

    @get(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/map",
        operation_id="readMap",
        summary="Read a solution map",
        responses=documented("faults", "busy", "out-of-time"),
        response_headers=[ETAG],
    )
    async def read(
        self, bench: AtBench, pattern_id: PatternPath, revision_id: RevisionPath, if_none_match: IfNoneMatch = None
    ) -> Response[SolutionMap]:
        """Gives each dimension that the seams and rules decide as a sum of those they leave free, for every size."""
        content = (await maps.solution_map(bench, pattern_id, revision_id)).encode()
        answer: Response[Any] = conditional(raw(content), content_tag(content), if_none_match)
        return answer
