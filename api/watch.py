"""Sees every request through: its id, whether there is room for it, a line of the log, its measures."""

from __future__ import annotations

import re
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from litestar.datastructures import Headers, MutableScopeHeaders
from litestar.enums import ScopeType
from structlog.contextvars import bound_contextvars, get_contextvars

from api.gate import CALLER
from api.jobs.executor import QueueFull
from api.logs import logger
from api.problems import plain

if TYPE_CHECKING:
    from litestar.types import ASGIApp, Message, Receive, Scope, Send

    from api.metrics import Metrics

LOG = logger("api.requests")
HEADER = "X-Request-ID"
SANE = re.compile(r"[A-Za-z0-9.\-]{1,64}")
"""No underscores: what is shown as an id must never be a key or a token, which have one."""
ALWAYS = frozenset({"/health", "/ready", "/metrics"})
"""Addresses that whoever looks after the server asks, however much there is to do."""
UNKNOWN = "unknown"
NEVER = "none"


@dataclass(eq=False)
class _Seen:
    """What is known of a request when it has ended."""

    begun: float
    status: str = NEVER


class Watch:
    """Passes requests on, at most so many at once, and tells of each when it has ended.

    What a page asks of the interface goes under the id of the request for the page, and takes no room of its own.
    """

    def __init__(self, app: ASGIApp, metrics: Metrics, most: int) -> None:
        self._app, self._metrics, self._most = app, metrics, most
        self._in_hand = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes a connection on."""
        if scope["type"] != ScopeType.HTTP:
            await self._app(scope, receive, send)
            return
        outer = get_contextvars().get("request_id")
        name = outer or _id_of(scope)
        with bound_contextvars(request_id=name):
            if outer is not None or scope["path"] in ALWAYS:
                await self._seen_through(scope, receive, send, name)
                return
            self._in_hand += 1
            self._metrics.requests_in_hand.set(self._in_hand)
            try:
                await self._seen_through(scope, receive, send, name, full=self._in_hand > self._most)
            finally:
                self._in_hand -= 1
                self._metrics.requests_in_hand.set(self._in_hand)

    async def _seen_through(self, scope: Scope, receive: Receive, send: Send, name: str, *, full: bool = False) -> None:
        seen = _Seen(time.monotonic())

        async def answer(message: Message) -> None:
            if message["type"] == "http.response.start":
                seen.status = str(message["status"])
                MutableScopeHeaders.from_message(message)[HEADER] = name
            await send(message)

        try:
            await (_refuse(answer) if full else self._app(scope, receive, answer))
        finally:
            self._tell(scope, seen)

    def _tell(self, scope: Scope, seen: _Seen) -> None:
        operation, seconds = _operation(scope), time.monotonic() - seen.begun
        self._metrics.answered(operation, seen.status, seconds)
        caller = scope.get("state", {}).get(CALLER)
        LOG.info(
            "request",
            method=_method(scope),
            operation=operation,
            status=seen.status,
            milliseconds=round(seconds * 1000, 1),
            **({} if caller is None else {"caller": caller.name}),
        )


async def _refuse(send: Send) -> None:
    """Answers that there is no room."""
    status, headers, content = plain(QueueFull())
    raw = [(key.lower().encode(), value.encode()) for key, value in headers.items()]
    await send({"type": "http.response.start", "status": status, "headers": raw})
    await send({"type": "http.response.body", "body": content, "more_body": False})


def _id_of(scope: Scope) -> str:
    """The id that a proxy or a client has given the request where it can be one, else a new one."""
    given = Headers.from_scope(scope).getall(HEADER.lower(), [])
    return given[0] if len(given) == 1 and SANE.fullmatch(given[0]) else uuid4().hex


def _operation(scope: Scope) -> str:
    """The name of the operation, of the page, or `unknown` where nothing is at the address."""
    handler: Any = scope.get("route_handler")
    if handler is None:
        return UNKNOWN
    named = getattr(handler, "operation_id", None)
    return str(named) if named else f"page:{getattr(handler, 'handler_name', UNKNOWN).rpartition('.')[2]}"


def _method(scope: Scope) -> str:
    """The method where it is one that HTTP knows (RFC 9110, RFC 5789); others are whatever somebody sent."""
    method = str(scope.get("method"))
    return method if method in {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"} else UNKNOWN
