"""Ranges of sizes."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, post
from litestar.params import JSONBody

from api.access.scopes import READ, asks
from api.operations import ranges
from api.problems import documented
from api.resources.answers import raw
from api.resources.dependencies import AtBench
from api.resources.parameters import PatternPath, RevisionPath
from api.resources.patterns import WITH_BODY
from api.schemas.ranges import RangeRequest, SizeRange


class RangeController(Controller):
    """What an order form may offer."""

    tags = ("Grades",)
    opt = asks(READ)

    @post(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/ranges",
        operation_id="judgeRange",
        summary="Judge a range of sizes",
        responses=documented(*WITH_BODY, "conflict"),
        status_code=200,
    )
    async def judge(
        self, data: JSONBody[RangeRequest], bench: AtBench, pattern_id: PatternPath, revision_id: RevisionPath
    ) -> Response[SizeRange]:
        """Says whether it is proven that every size between the ends can be made on the ruler.

        If it is not, tells which rules stand in the way, a size that cannot be made if one was found, the largest
        range in it that is proven, and sizes that were tried one by one.
        """
        found = await ranges.size_range(bench, pattern_id, revision_id, data.model_dump(exclude_unset=True))
        answer: Response[Any] = raw(found.encode())
        return answer
