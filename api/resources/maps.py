"""Solution maps of revisions."""

from __future__ import annotations

from collections import Counter
from typing import Any

from litestar import Controller, Response, get

from api.access.scopes import READ, asks
from api.negotiation import content_tag
from api.operations import maps
from api.operations.errors import Fault, RequestRefused
from api.problems import documented
from api.query import OPTIONS
from api.resources.answers import ETAG, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.parameters import IfNoneMatch, Options, PatternPath, RevisionPath
from api.schemas.maps import SolutionMap


class MapController(Controller):
    """Maps of revisions for all sizes, which never change."""

    tags = ("Patterns",)
    opt = asks(READ)

    @get(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/map",
        operation_id="readMap",
        summary="Read a solution map",
        responses=documented("faults", "conflict", "busy", "out-of-time"),
        response_headers=[ETAG],
        opt={"query": {"option": OPTIONS}},
    )
    async def read(
        self,
        bench: AtBench,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
        option: Options = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[SolutionMap]:
        """Gives each dimension that the seams and rules decide as a sum of those they leave free, for every size."""
        content = (await maps.solution_map(bench, pattern_id, revision_id, _choices(option))).encode()
        answer: Response[Any] = conditional(raw(content), content_tag(content), if_none_match)
        return answer


def _choices(option: str | None) -> dict[str, str]:
    pairs = [(name, choice) for name, _, choice in (pair.partition(":") for pair in (option or "").split(",") if pair)]
    counts = Counter(name for name, _ in pairs)
    twice = [
        Fault(f"query.option.{name}", "This option is chosen more than once.", "Choose it once.")
        for name, count in counts.items()
        if count > 1
    ]
    if twice:
        raise RequestRefused(twice)
    return dict(pairs)
