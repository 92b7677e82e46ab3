"""Supplies and bulk of grades."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, get, post
from litestar.params import JSONBody

from api.access.scopes import READ, asks
from api.negotiation import content_tag
from api.operations import supplies
from api.problems import documented
from api.query import LAYOUTS
from api.resources.answers import CSV, ETAG, JSON, VARY, chosen, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.parameters import Accept, GradePath, IfNoneMatch, OfLayouts
from api.resources.patterns import WITH_BODY
from api.schemas.supplies import Bulk, BulkRequest, Supplies, SuppliesRequest


class SuppliesController(Controller):
    """What a grade needs besides its pieces; nothing is stored."""

    path = "/grades/{grade_id:str}"
    tags = ("Cloth",)
    opt = asks(READ)

    @get(
        "/supplies",
        operation_id="readSupplies",
        summary="Read what a grade needs",
        responses=documented("not-acceptable", "faults", "grade-outdated", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
        opt={"query": {"layouts": LAYOUTS}},
    )
    async def read(
        self,
        bench: AtBench,
        grade_id: GradePath,
        layouts: OfLayouts = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[Supplies]:
        """Lists zips, webbing, binding, hardware and thread, as JSON or as CSV; with layouts the cloth too."""
        found = await supplies.supplies(bench, grade_id, {}, layouts, "query.layouts")
        return chosen({JSON: found.document.encode(), CSV: found.csv.encode()}, accept, if_none_match)

    @post(
        "/supplies",
        operation_id="countSupplies",
        summary="Count what a grade needs with settings of one's own",
        responses=documented(*WITH_BODY, "grade-outdated"),
        status_code=200,
    )
    async def count(self, data: JSONBody[SuppliesRequest], bench: AtBench, grade_id: GradePath) -> Response[Supplies]:
        """Lists the same with other settings: thread for ends, stitches, reels, what webbing is sold by."""
        found = await supplies.supplies(bench, grade_id, data.settings or {}, data.layouts, "layouts")
        answer: Response[Any] = raw(found.document.encode())
        return answer

    @get(
        "/bulk",
        operation_id="readBulk",
        summary="Read how thick the seams of a grade are",
        responses=documented("faults", "grade-outdated", "busy", "out-of-time"),
        response_headers=[ETAG],
    )
    async def bulk(self, bench: AtBench, grade_id: GradePath, if_none_match: IfNoneMatch = None) -> Response[Bulk]:
        """Tells how thick the layers lie at every seam, and what would make the thickest thinner."""
        content = (await supplies.bulk(bench, grade_id, {})).encode()
        answer: Response[Any] = raw(content)
        return conditional(answer, content_tag(content), if_none_match)

    @post(
        "/bulk",
        operation_id="judgeBulk",
        summary="Judge how thick the seams of a grade are for one's own machine",
        responses=documented(*WITH_BODY, "grade-outdated"),
        status_code=200,
    )
    async def judge(self, data: JSONBody[BulkRequest], bench: AtBench, grade_id: GradePath) -> Response[Bulk]:
        """Tells the same for another machine, or with allowances pressed otherwise."""
        answer: Response[Any] = raw((await supplies.bulk(bench, grade_id, data.settings or {})).encode())
        return answer
