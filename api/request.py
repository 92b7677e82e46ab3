"""The request as handlers see it: its body is bounded and checked before anything else reads it."""

from __future__ import annotations

import asyncio
from typing import Any

from litestar import Request
from litestar.datastructures import State

from api.body import MANY, UnreadableBody, read_json

SHORT_BODY = 32 * 1024


class UnsupportedBody(Exception):
    """The body comes in a form other than plain JSON; the text says what was announced."""


class BoundedRequest(Request[Any, Any, State]):
    """Reads a body only where it is announced as JSON, and only with `api.body.read_json`."""

    async def body(self) -> bytes:
        """The bytes of the body; raises UnsupportedBody for another form and UnreadableBody when there are none."""
        kind, options = self.content_type
        if kind.lower() != "application/json" or options.get("charset", "utf-8").lower() != "utf-8":
            raise UnsupportedBody(f"The body is announced as {kind or 'nothing'!r}.")
        encoding = self.headers.get("content-encoding", "identity")
        if encoding.lower() != "identity":
            raise UnsupportedBody(f"The body is announced as encoded with {encoding!r}.")
        body = await super().body()
        if not body.strip():
            raise UnreadableBody("The body is empty.")
        return body

    async def json(self) -> Any:
        """The JSON of the body, within the bounds; a long one is read beside the event loop."""
        body, many = await self.body(), self.route_handler.opt.get("many", MANY)
        return read_json(body, many) if len(body) <= SHORT_BODY else await asyncio.to_thread(read_json, body, many)
