"""Which pages of other origins may read answers: those of the settings, and for order forms those of their tokens.

The CORS protocol of the Fetch standard (https://fetch.spec.whatwg.org/#http-cors-protocol). Nothing is ever sent for
the credentials that a browser keeps by itself: a page must hold a key or token.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from litestar import Response
from litestar.datastructures import Headers
from litestar.enums import ScopeType
from litestar.middleware import ASGIMiddleware
from litestar.routes import HTTPRoute

from api.access.scopes import FORM
from api.gate import SHARED_WITH
from api.storage.forms import bound

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from litestar.datastructures import MutableScopeHeaders
    from litestar.types import ASGIApp, Receive, Scope, Send

    from api.storage.database import Database

SENT = "Authorization, Content-Type, Idempotency-Key, If-Match, If-None-Match, Prefer"
"""Headers of requests that such a page may set."""
READ = "ETag, Idempotency-Replayed, Location, Preference-Applied, RateLimit, RateLimit-Policy, Retry-After"
"""Headers of answers that such a page may read."""
REMEMBERED_SECONDS = "600"


class Sharing:
    """Marks the answers that a page of another origin may read."""

    def __init__(self, origins: Sequence[str]) -> None:
        self._origins = frozenset(origins)

    def listed(self, origin: str) -> bool:
        """Whether the settings name this origin."""
        return origin in self._origins

    def mark(self, headers: MutableScopeHeaders, scope: Scope) -> None:
        """Says in the answer who may read it, and that this hangs on who asks."""
        shared = scope["state"].get(SHARED_WITH)
        origin = Headers.from_scope(scope).get("origin")
        if self._origins or shared is not None:
            headers["Vary"] = f"{headers['Vary']}, Origin" if headers.get("Vary") else "Origin"
        if origin is not None and (origin == shared or self.listed(origin)):
            headers["Access-Control-Allow-Origin"] = origin
            headers["Access-Control-Expose-Headers"] = READ


class Preflights(ASGIMiddleware):
    """Answers a browser that asks whether a page of another origin may send a request.

    The request itself carries no token yet. So an order form's addresses are open to origins that an open form, of the
    pattern where the address names one, is bound to; with the token the origin is looked at again.
    """

    def __init__(self, database: Database, sharing: Sharing) -> None:
        self._database, self._sharing = database, sharing

    async def handle(self, scope: Scope, receive: Receive, send: Send, next_app: ASGIApp) -> None:
        """Answers such a question where the answer is yes, and passes everything else on."""
        asked = Headers.from_scope(scope) if scope["type"] == ScopeType.HTTP else {}
        origin, method = asked.get("origin"), asked.get("access-control-request-method")
        if scope["type"] != ScopeType.HTTP or scope["method"] != "OPTIONS" or origin is None or method is None:
            await next_app(scope, receive, send)
            return
        if not await self._allowed(scope, origin, method):
            await next_app(scope, receive, send)
            return
        scope["state"][SHARED_WITH] = origin
        headers = {
            "Access-Control-Allow-Methods": method,
            "Access-Control-Allow-Headers": SENT,
            "Access-Control-Max-Age": REMEMBERED_SECONDS,
            "Vary": "Access-Control-Request-Method",
        }
        answer: Response[None] = Response(None, status_code=204, headers=headers)
        request = scope["litestar_app"].request_class(scope)
        await answer.to_asgi_response(app=None, request=request)(scope, receive, send)

    async def _allowed(self, scope: Scope, origin: str, method: str) -> bool:
        options = _options(scope, "GET" if method == "HEAD" else method)
        if options is None:
            return False
        if self._sharing.listed(origin):
            return True
        if options.get("scope") != FORM:
            return False
        async with self._database.transaction() as session:
            return await bound(session, origin, scope["path_params"].get("pattern_id"))


def _options(scope: Scope, method: str) -> Mapping[str, Any] | None:
    """What the handler of this method at the address of a request states of itself; None where there is none."""
    template = scope["path_template"]
    for route in scope["litestar_app"].routes:
        if isinstance(route, HTTPRoute) and template in (route.path, route.path_format):
            for handler in route.route_handlers:
                if method in handler.http_methods and method != "OPTIONS":
                    return handler.opt
    return None
