"""The gate before every handler: who asks, whether they may, from where, and how often.

Runs as a guard of Litestar, after an address has been found and before anything of the request is read. What it finds
lies in the state of the connection: the caller, and headers for whatever the answer will be.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from litestar.handlers import HTTPRouteHandler

from api.access.allowance import Allowance, Rate
from api.access.refusals import NoKey, OriginRefused, ScopeMissing, TooOften
from api.access.scopes import FORM, OPEN, SIGNED_IN, granting, in_order, needed
from api.access.secrets import bearer
from api.operations.callers import recognised
from api.operations.errors import Missing

if TYPE_CHECKING:
    from litestar.connection import ASGIConnection
    from litestar.handlers import BaseRouteHandler

    from api.access.caller import Caller
    from api.settings import Settings
    from api.storage.database import Database

CALLER, ANSWERED_WITH, SHARED_WITH = "caller", "answered_with", "shared_with"
"""Names in the state of a connection: a Caller, headers of the answer, the origin that may read it."""


class Gate:
    """Lets callers in that may do what they ask."""

    def __init__(self, database: Database, settings: Settings) -> None:
        self._database = database
        self._keys = Allowance(Rate(settings.rate, settings.burst))
        self._forms = Allowance(Rate(settings.form_rate, settings.form_burst))

    async def admit(self, connection: ASGIConnection[Any, Any, Any, Any], handler: BaseRouteHandler) -> None:
        """Notes the caller, or raises NoKey, TooOften, ScopeMissing, OriginRefused or Missing.

        Applications that are mounted answer for themselves: they ask this interface with their caller's key.
        """
        scope = handler.opt.get("scope")
        if not isinstance(handler, HTTPRouteHandler) or scope == OPEN:
            return
        caller = await self._caller(connection)
        self._count(connection, caller)
        if scope != SIGNED_IN and not caller.scopes & granting(str(scope), str(connection.scope.get("method"))):
            raise ScopeMissing(needed(str(scope)), in_order(caller.scopes) or (FORM,))
        if caller.form is not None:
            _within_form(connection, caller)
        connection.scope["state"][CALLER] = caller

    async def _caller(self, connection: ASGIConnection[Any, Any, Any, Any]) -> Caller:
        presented = connection.headers.getall("authorization", [])
        if not presented:
            raise NoKey(presented=False)
        return await recognised(self._database, bearer(presented[0]) if len(presented) == 1 else None)

    def _count(self, connection: ASGIConnection[Any, Any, Any, Any], caller: Caller) -> None:
        allowance, says = (self._keys, "key") if caller.form is None else (self._forms, "form")
        taken, rate = allowance.take(caller.name), allowance.rate
        connection.scope["state"][ANSWERED_WITH] = {
            # draft-ietf-httpapi-ratelimit-headers-10, sections 2 and 3: quota in a window, what is left of it.
            "RateLimit-Policy": f'"{says}";q={rate.burst};w={max(1, round(rate.filling))}',
            "RateLimit": f'"{says}";r={taken.left};t={taken.wait}' if taken.wait else f'"{says}";r={taken.left}',
        }
        if taken.wait:
            raise TooOften(taken.wait, rate.each_minute)


def _within_form(connection: ASGIConnection[Any, Any, Any, Any], caller: Caller) -> None:
    """A form's token works on pages of its origins, or where there is no page, and for its own pattern only."""
    origin = connection.headers.get("origin")
    if origin is not None:
        if origin not in caller.origins:
            raise OriginRefused(origin)
        connection.scope["state"][SHARED_WITH] = origin
    pattern: str | None = connection.path_params.get("pattern_id")
    if pattern is not None and not caller.may_see(pattern):
        raise Missing("pattern", pattern)
