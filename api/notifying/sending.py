"""Sends one notification to one address: the address that was judged, and no other."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from typing import TYPE_CHECKING

import httpx

from api import VERSION
from api.notifying.hosts import Unreachable, allowed, resolved
from api.notifying.targets import Target, UnusableTarget, read_target

if TYPE_CHECKING:
    import ssl
    from collections.abc import Mapping
    from ipaddress import IPv4Address, IPv6Address

    from api.notifying.hosts import Resolver

SECONDS = 20.0
"""The specification recommends 15 to 30."""
CONNECT_SECONDS = 5.0
MOST_ANSWER = 4096
"""Bytes of an answer that are read, and thrown away; what comes after them is left unread."""
MOST_WAIT = 10


@dataclass(frozen=True)
class Reply:
    """What came of a try: the status, None where there was no answer; why not, and how long to leave it."""

    status: int | None
    says: str = ""
    wait: timedelta | None = None

    @property
    def taken(self) -> bool:
        """Whether the receiver has it now: any status from 200 to 299."""
        return self.status is not None and 200 <= self.status < 300


@dataclass(frozen=True)
class Sender:
    """Posts to public addresses over https, or with `private` to any, over http too.

    The host's name is looked up once a try, all of its addresses are judged, and the connection is made to one of those
    judged, so that a name that leads elsewhere a moment later leads nobody astray; the name stays in Host and in the
    certificate that is asked for. No redirection is followed, no proxy of the environment is asked.
    """

    private: bool = False
    resolver: Resolver = resolved
    seconds: float = SECONDS
    trust: ssl.SSLContext | None = None

    @cached_property
    def _trust(self) -> ssl.SSLContext:
        return self.trust or httpx.create_ssl_context()

    async def send(self, url: str, headers: Mapping[str, str], body: bytes) -> Reply:
        """Tries once, and tells what came of it; raises nothing of the network's."""
        try:
            async with asyncio.timeout(self.seconds):
                target = read_target(url, private=self.private)
                addresses = await allowed(target.host, target.port, private=self.private, resolver=self.resolver)
                return await self._first(target, addresses, headers, body)
        except UnusableTarget as refused:
            return Reply(None, refused.problem)
        except Unreachable as refused:
            return Reply(None, str(refused))
        except TimeoutError:
            return Reply(None, f"There was no answer within {self.seconds:g} seconds.")
        except (httpx.HTTPError, httpx.InvalidURL, ValueError, OSError) as error:
            return Reply(None, f"The connection failed: {type(error).__name__}.")

    async def _first(
        self,
        target: Target,
        addresses: tuple[IPv4Address | IPv6Address, ...],
        headers: Mapping[str, str],
        body: bytes,
    ) -> Reply:
        """What the first address answers that can be connected to."""
        *others, last = addresses
        for address in others:
            try:
                return await self._post(target, address, headers, body)
            except (httpx.ConnectError, httpx.ConnectTimeout):
                continue
        return await self._post(target, last, headers, body)

    async def _post(
        self, target: Target, address: IPv4Address | IPv6Address, headers: Mapping[str, str], body: bytes
    ) -> Reply:
        host = f"[{address}]" if address.version == 6 else str(address)
        sent = {
            **headers,
            "Host": target.authority,
            "Content-Type": "application/json",
            "User-Agent": f"Sizewright/{VERSION}",
            "Accept-Encoding": "identity",
            "Connection": "close",
        }
        named = {} if target.is_literal else {"sni_hostname": target.host.rstrip(".")}
        timeout = httpx.Timeout(self.seconds, connect=CONNECT_SECONDS)
        async with (
            httpx.AsyncClient(verify=self._trust, trust_env=False, follow_redirects=False, timeout=timeout) as client,
            client.stream(
                "POST",
                f"{target.scheme}://{host}:{target.port}{target.path}",
                content=body,
                headers=sent,
                extensions=named,
            ) as response,
        ):
            await _read_a_little(response)
            return _reply(response)


async def _read_a_little(response: httpx.Response) -> None:
    """Lets a receiver finish a short answer; a long one is not waited for."""
    read = 0
    async for part in response.aiter_raw():
        read += len(part)
        if read > MOST_ANSWER:
            return


def _reply(response: httpx.Response) -> Reply:
    says = "" if response.is_success else f"It was answered with {response.status_code}."
    given = response.headers.get("retry-after", "")
    seconds = int(given) if given.isascii() and given.isdecimal() and len(given) < MOST_WAIT else None
    return Reply(response.status_code, says, None if seconds is None else timedelta(seconds=seconds))
