"""The request as handlers see it: its body is bounded and checked before anything else reads it."""

from __future__ import annotations

import asyncio
from typing import Any

from litestar import Request
from litestar.datastructures import State
from litestar.exceptions import InternalServerException

from api.body import MANY, UnreadableBody, read_json

SHORT_BODY = 32 * 1024
BODY_SECONDS = 60.0
"""How long a body may take to come: ten megabytes by a line of 1.4 megabits a second."""


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
        try:
            async with asyncio.timeout(BODY_SECONDS):
                body = await super().body()
        except TimeoutError as error:
            raise UnreadableBody(f"The body had not come after {BODY_SECONDS:.0f} s.") from error
        except InternalServerException as error:
            raise UnreadableBody("The connection was closed before the whole body had come.") from error
        if not body.strip():
            raise UnreadableBody("The body is empty.")
        return body

    async def json(self) -> Any:
        """The JSON of the body, within the bounds; a long one is read beside the event loop."""
        body, many = await self.body(), self.route_handler.opt.get("many", MANY)
        return read_json(body, many) if len(body) <= SHORT_BODY else await asyncio.to_thread(read_json, body, many)
