"""Quotes of wishes."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from litestar import Controller, Response, get, post
from litestar.params import JSONBody

from api.access.scopes import FORM, ORDER, asks
from api.negotiation import content_tag
from api.operations import quotes
from api.problems import documented
from api.resources.answers import ETAG, LOCATION, conditional, raw
from api.resources.dependencies import AtBench, AtCaller
from api.resources.parameters import IfNoneMatch, PatternPath, QuotePath, RevisionPath
from api.resources.patterns import WITH_BODY
from api.schemas.quotes import PriceDocument, Quote, QuoteRequest, ToPay

if TYPE_CHECKING:
    from api.storage.quotes import QuoteRecord


class QuoteController(Controller):
    """Quotes, which never change."""

    tags = ("Orders",)
    opt = asks(FORM)

    @post(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/quotes",
        operation_id="makeQuote",
        summary="Ask what a wish costs",
        responses=documented(*WITH_BODY, "conflict", "ruler-out-of-reach", "does-not-fit", "grade-outdated"),
        response_headers=[LOCATION],
    )
    async def make(
        self,
        data: JSONBody[QuoteRequest],
        bench: AtBench,
        caller: AtCaller,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
    ) -> Response[Quote]:
        """Grades a wish, lays it out, and gives its price by the pattern's own rule, valid until a time.

        What the order form does not offer is a fault that names what it does; a size within it that cannot be made is a
        conflict, with what would do.
        """
        wish = data.model_dump(exclude_unset=True)
        made = await quotes.make(bench, caller, pattern_id, revision_id, wish, datetime.now(UTC))
        return Response(shown_quote(made), headers={"Location": f"/quotes/{made.id}"})

    @get(
        "/quotes/{quote_id:str}",
        operation_id="readQuote",
        summary="Read a quote",
        responses=documented(),
        response_headers=[ETAG],
    )
    async def read(
        self, bench: AtBench, caller: AtCaller, quote_id: QuotePath, if_none_match: IfNoneMatch = None
    ) -> Response[Quote]:
        """Gives a quote: what was wished, what it costs, and until when."""
        found = await quotes.read(bench, caller, quote_id)
        content = shown_quote(found).model_dump_json().encode()
        answer: Response[Any] = raw(content)
        return conditional(answer, content_tag(content), if_none_match)

    @get(
        "/quotes/{quote_id:str}/price",
        operation_id="readPrice",
        summary="Read how a price comes about",
        responses=documented(),
        response_headers=[ETAG],
        opt=asks(ORDER),
    )
    async def price(
        self, bench: AtBench, caller: AtCaller, quote_id: QuotePath, if_none_match: IfNoneMatch = None
    ) -> Response[PriceDocument]:
        """Gives a price line by line: materials as they are bought, minutes, extras, margin, fees, tax."""
        content = (await quotes.read(bench, caller, quote_id)).price.encode()
        answer: Response[Any] = raw(content)
        return conditional(answer, content_tag(content), if_none_match)


def shown_quote(record: QuoteRecord) -> Quote:
    """A quote as it is sent."""
    price: dict[str, Any] = json.loads(record.price)
    taxes = [line["says"] for line in price["lines"] if line["kind"] == "tax"]
    kept = {key: price[key] for key in ("currency", "digits", "before_tax", "tax", "total", "text")}
    return Quote(
        id=record.id,
        pattern=record.pattern,
        revision=record.revision,
        grade=record.grade,
        layouts=record.layouts,
        wish=json.loads(record.wish),
        measures=price["measures"],
        price=ToPay(**kept, tax_says=taxes[0] if taxes else None),
        created_at=record.created_at,
        valid_until=record.valid_until,
    )
