"""The pages' only way to anything: the interface, asked as any client asks it, with the caller's own key."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import httpx

if TYPE_CHECKING:
    from collections.abc import Mapping

HERE = "http://localhost"
PATIENCE = 120.0
"""Seconds; the interface has limits of its own, which are shorter."""


@dataclass(frozen=True)
class Answer:
    """What the interface answered: its status, its headers, its content."""

    status: int
    headers: Mapping[str, str]
    content: bytes = field(repr=False)
    json: Any = field(repr=False, default=None)
    """The content read as JSON, where it is JSON."""

    @property
    def tag(self) -> str:
        """The entity tag as it was sent, quotes and all; empty where there is none."""
        return self.headers.get("etag", "")

    @property
    def text(self) -> str:
        """The content as text."""
        return self.content.decode("utf-8", "replace")


class Refused(Exception):
    """The interface refused; `status` and `problem` (RFC 9457) say why."""

    def __init__(self, status: int, problem: Mapping[str, Any]) -> None:
        self.status, self.problem = status, problem
        super().__init__(f"{status}: {problem.get('detail', '')}")

    @property
    def faults(self) -> list[dict[str, str]]:
        """What is wrong, place by place: `path`, `problem`, `remedy`."""
        return list(self.problem.get("faults") or ())


class Door:
    """The interface as an ASGI application in this process; safe for any number of callers at once."""

    def __init__(self, app: Any) -> None:
        self._client = httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url=HERE, timeout=PATIENCE)

    async def ask(
        self,
        method: str,
        path: str,
        *,
        key: str | None = None,
        body: Any = None,
        query: Mapping[str, str] | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> Answer:
        """The answer to one request; raises Refused for every status from 400."""
        sent = {**(headers or {}), **({"Authorization": f"Bearer {key}"} if key else {})}
        given = {} if body is None else {"json": body}
        try:
            found = await self._client.request(method, path, params=dict(query or {}), headers=sent, **given)
        except httpx.InvalidURL as error:
            raise Refused(404, {"title": "Nothing is here", "detail": "There is no such address."}) from error
        json = found.json() if "json" in found.headers.get("content-type", "") and found.content else None
        if found.status_code >= 400:
            raise Refused(found.status_code, json if isinstance(json, dict) else {"detail": "It was not answered."})
        return Answer(found.status_code, found.headers, found.content, json)


@dataclass(frozen=True)
class Caller:
    """The door with the key of one person."""

    door: Door
    key: str | None

    async def get(self, path: str, *, query: Mapping[str, str] | None = None, accept: str | None = None) -> Answer:
        """Reads."""
        headers = {} if accept is None else {"Accept": accept}
        return await self.door.ask("GET", path, key=self.key, query=query, headers=headers)

    async def post(
        self, path: str, body: Any = None, *, match: str | None = None, headers: Mapping[str, str] | None = None
    ) -> Answer:
        """Sends something new; `match` is the tag for If-Match."""
        return await self._send("POST", path, body, match, headers)

    async def patch(self, path: str, body: Any, *, match: str | None = None) -> Answer:
        """Changes what is there; `match` is the tag for If-Match."""
        return await self._send("PATCH", path, body, match, None)

    async def delete(self, path: str, *, match: str | None = None) -> Answer:
        """Takes something away."""
        return await self._send("DELETE", path, None, match, None)

    async def _send(
        self, method: str, path: str, body: Any, match: str | None, headers: Mapping[str, str] | None
    ) -> Answer:
        sent = {**(headers or {}), **({"If-Match": match} if match else {})}
        return await self.door.ask(method, path, key=self.key, body=body, headers=sent)
