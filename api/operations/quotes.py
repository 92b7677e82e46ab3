"""Asking for quotes, reading them, and what a revision offers to customers."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from sqlalchemy.exc import IntegrityError

from api import VERSION
from api.operations import grades, layouts
from api.operations.errors import Missing, TooMuchWork
from api.operations.grades import Asked, regraded
from api.operations.patterns import pattern as read_pattern
from api.operations.patterns import revision as read_revision
from api.operations.solving import solved, solved_long
from api.storage.quotes import NewQuote, QuoteStore

if TYPE_CHECKING:
    from api.access.caller import Caller
    from api.operations.bench import Bench
    from api.storage.quotes import QuoteRecord

PATIENCE = 25.0
"""Seconds that a quote waits for its layouts; they go on, so that the same wish finds them later."""


async def make(
    bench: Bench, caller: Caller, pattern: str, revision: str, wish: dict[str, Any], now: datetime
) -> QuoteRecord:
    """The quote of a wish, valid for as long as the pattern says; everything that it is made from is stored.

    Raises Missing (also to an order form for a revision that is not the pattern's head), RequestRefused for what is not
    offered, SizeConflict, RulerTooCoarse, DoesNotFit, GradeOutdated and TooMuchWork; then there is no quote.
    """
    await _seen(bench, caller, pattern, revision)
    source = (await read_revision(bench, pattern, revision)).document
    written = json.dumps(wish, ensure_ascii=False, sort_keys=True)
    found = await solved(bench, "wish", document=source, wish=written)
    grade = (await grades.make(bench, pattern, revision, Asked(found["size"], found["request"], None))).grade
    settings = await solved(bench, "laying", document=source, wish=written, grade=grade.document)
    laid = await layouts.make(bench, grade.id, layouts.Asked(settings), PATIENCE)
    if isinstance(laid, layouts.Begun):
        raise TooMuchWork
    arguments = await regraded(bench, grade.id)
    priced = await solved(bench, "price", **arguments, layouts=laid.layouts.document, wish=written)
    new = NewQuote(
        id=str(uuid4()),
        revision=revision,
        grade=grade.id,
        layouts=laid.layouts.id,
        engine=VERSION,
        wish=written,
        supplies=priced["supplies"],
        price=priced["price"],
        created_at=now,
        valid_until=now + timedelta(days=found["days"]),
    )
    async with bench.database.transaction() as session:
        await QuoteStore(session, bench.workshop).add(new)
    return await read(bench, caller, new.id)


async def read(bench: Bench, caller: Caller, name: str) -> QuoteRecord:
    """The quote; raises Missing, also to an order form for a quote of another pattern."""
    async with bench.database.transaction() as session:
        found = await QuoteStore(session, bench.workshop).quote(name)
    if found is None or not caller.may_see(found.pattern):
        raise Missing("quote", name)
    return found


async def offer(bench: Bench, caller: Caller, pattern: str, revision: str | None) -> tuple[str, str]:
    """A revision (the pattern's head for None) and what it offers to customers, as JSON text; worked out once.

    Raises Missing, RequestRefused where it has no order form, and TooMuchWork.
    """
    chosen = (await read_pattern(bench, pattern)).head if revision is None else revision
    await _seen(bench, caller, pattern, chosen)
    source = await read_revision(bench, pattern, chosen)
    async with bench.database.transaction() as session:
        known = await QuoteStore(session, bench.workshop).offer(chosen, VERSION)
    if known is not None:
        return chosen, known
    document = str(await solved_long(bench, "form", _unheard, _unheard, document=source.document))
    try:
        async with bench.database.transaction() as session:
            await QuoteStore(session, bench.workshop).add_offer(chosen, VERSION, document)
    except IntegrityError:
        # Another request was quicker; what it stored is the same.
        return chosen, document
    return chosen, document


async def _seen(bench: Bench, caller: Caller, pattern: str, revision: str) -> None:
    """An order form sees the head of its pattern, and nothing else."""
    if not caller.may_see(pattern):
        raise Missing("pattern", pattern)
    if caller.form is not None and (await read_pattern(bench, pattern)).head != revision:
        raise Missing("revision", revision)


def _unheard(*_: Any) -> None:
    """Nobody waits for news of it."""
