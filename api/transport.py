"""What holds for every answer, whatever it is about: HEAD, OPTIONS, headers that keep browsers and caches careful."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from litestar import Response
from litestar.datastructures import MutableScopeHeaders
from litestar.enums import ScopeType
from litestar.middleware import ASGIMiddleware
from litestar.routes import HTTPRoute

from api.gate import ANSWERED_WITH, CALLER

if TYPE_CHECKING:
    from litestar import Litestar
    from litestar.types import ASGIApp, Message, Receive, Scope, Send

    from api.sharing import Sharing

CAREFUL = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
}
BY_HTTPS_ONLY = {"Strict-Transport-Security": "max-age=31536000"}
"""A year (RFC 6797, section 6.1.1)."""
OWNED = {"Cache-Control": "private, no-store"}
"""Of what has an owner, unless the answer says that a browser may keep it and ask again."""


class Outermost:
    """Answers HEAD as GET without its content, and gives every answer the careful headers it has not set itself."""

    def __init__(self, app: ASGIApp, sharing: Sharing, *, https: bool = False) -> None:
        self._app, self._sharing = app, sharing
        self._careful = CAREFUL | (BY_HTTPS_ONLY if https else {})

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes a connection on to the application."""
        if scope["type"] != ScopeType.HTTP:
            await self._app(scope, receive, send)
            return
        bodiless = scope["method"] == "HEAD"
        inner: Any = {**scope, "method": "GET"} if bodiless else scope

        async def answer(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableScopeHeaders.from_message(message)
                state = inner["state"]
                for name, value in (self._careful | (OWNED if CALLER in state else {})).items():
                    headers.setdefault(name, value)
                headers.update(state.get(ANSWERED_WITH, {}))
                self._sharing.mark(headers, inner)
            elif message["type"] == "http.response.body" and bodiless:
                message = {**message, "body": b""}
            await send(message)

        await self._app(inner, receive, answer)


class AllowedMethods(ASGIMiddleware):
    """Answers OPTIONS with every method of an address; Litestar's own answer lists those of one handler."""

    async def handle(self, scope: Scope, receive: Receive, send: Send, next_app: ASGIApp) -> None:
        """Answers OPTIONS, and passes everything else on."""
        if scope["type"] != ScopeType.HTTP or scope["method"] != "OPTIONS":
            await next_app(scope, receive, send)
            return
        allowed = _methods(scope["litestar_app"], scope["path_template"])
        answer: Response[None] = Response(None, status_code=204, headers={"Allow": ", ".join(sorted(allowed))})
        await answer.to_asgi_response(app=None, request=scope["litestar_app"].request_class(scope))(
            scope, receive, send
        )


def _methods(app: Litestar, template: str) -> set[str]:
    methods: set[str] = {"OPTIONS"}
    for route in app.routes:
        if isinstance(route, HTTPRoute) and template in (route.path, route.path_format):
            methods.update(route.methods)
    return methods | ({"HEAD"} if "GET" in methods else set())
