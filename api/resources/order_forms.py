"""Order forms: what a pattern offers to customers."""

from __future__ import annotations

from typing import Any

import msgspec
from litestar import Controller, Response, get

from api.access.scopes import FORM, asks
from api.negotiation import content_tag
from api.operations import quotes
from api.problems import documented
from api.resources.answers import ETAG, conditional, raw
from api.resources.dependencies import AtBench, AtCaller
from api.resources.parameters import IfNoneMatch, PatternPath, RevisionPath
from api.schemas.order_forms import OrderForm

READING = documented("faults", "busy", "out-of-time")


class OrderFormController(Controller):
    """What customers may wish."""

    tags = ("Orders",)
    opt = asks(FORM)

    @get(
        "/patterns/{pattern_id:str}/form",
        operation_id="readForm",
        summary="Read what a pattern offers to customers",
        responses=READING,
        response_headers=[ETAG],
    )
    async def head(
        self, bench: AtBench, caller: AtCaller, pattern_id: PatternPath, if_none_match: IfNoneMatch = None
    ) -> Response[OrderForm]:
        """Gives the order form of the pattern's head: sizes, measures within proven ends, options, cloths."""
        revision, document = await quotes.offer(bench, caller, pattern_id, None)
        return _form(pattern_id, revision, document, if_none_match)

    @get(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/form",
        operation_id="readFormOfRevision",
        summary="Read what a revision offers to customers",
        responses=READING,
        response_headers=[ETAG],
    )
    async def read(
        self,
        bench: AtBench,
        caller: AtCaller,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
        if_none_match: IfNoneMatch = None,
    ) -> Response[OrderForm]:
        """Gives the order form of one revision, with a JSON Schema of what is sent to ask for a quote."""
        revision, document = await quotes.offer(bench, caller, pattern_id, revision_id)
        return _form(pattern_id, revision, document, if_none_match)


def _form(pattern: str, revision: str, document: str, if_none_match: str | None) -> Response[Any]:
    told: dict[str, Any] = msgspec.json.decode(document)
    content = msgspec.json.encode({**told, "id": pattern, "revision": revision})
    return conditional(raw(content), content_tag(content), if_none_match)
