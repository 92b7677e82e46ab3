"""Endpoints: addresses of a shop that are notified, and the secrets that sign what is sent there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING
from uuid import uuid4

from api.notifying.signing import new_secret
from api.notifying.targets import UnusableTarget, read_target
from api.operations.errors import Fault, Missing, RequestRefused
from api.operations.events import EVENTS
from api.storage.notifications import ASKED, ENABLED, EndpointRecord, EndpointStore, NewEndpoint, give_up

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.ext.asyncio import AsyncSession

    from api.operations.bench import Bench
    from api.storage.records import Page

MOST_ENDPOINTS = 20
DISABLED = "The endpoint was disabled."


@dataclass(frozen=True)
class Wanted:
    """An endpoint as it is asked for."""

    url: str
    events: frozenset[str]
    says: str = ""


@dataclass(frozen=True)
class Shown:
    """An endpoint with the secret that was just made, which is not shown again."""

    endpoint: EndpointRecord
    secret: str


async def make(bench: Bench, wanted: Wanted, now: datetime, *, private: bool) -> Shown:
    """A new endpoint, on a private host where `private` says so.

    Raises RequestRefused for an address that must not be notified, and for one endpoint too many.
    """
    try:
        read_target(wanted.url, private=private)
    except UnusableTarget as refused:
        raise RequestRefused([Fault("url", refused.problem, refused.remedy)]) from None
    secret = new_secret()
    events = tuple(event for event in EVENTS if event in wanted.events)
    new = NewEndpoint(str(uuid4()), wanted.url, events, wanted.says, secret, now)
    async with bench.database.transaction() as session:
        store = EndpointStore(session, bench.workshop)
        if (total := (await store.endpoints(1, 0)).total) >= MOST_ENDPOINTS:
            problem = f"There are {total} endpoints already, and {MOST_ENDPOINTS} is the most."
            raise RequestRefused([Fault("url", problem, "Delete one first.")])
        return Shown(await store.add(new), secret)


async def read(bench: Bench, name: str) -> EndpointRecord:
    """The endpoint; raises Missing."""
    async with bench.database.transaction() as session:
        return await _there(session, bench.workshop, name)


async def endpoints(bench: Bench, limit: int, offset: int) -> Page[EndpointRecord]:
    """Endpoints in the order in which they were made."""
    async with bench.database.transaction() as session:
        return await EndpointStore(session, bench.workshop).endpoints(limit, offset)


async def replace_secret(bench: Bench, name: str, hours: int, now: datetime) -> Shown:
    """A new secret, which signs from now on; the one before signs beside it for so many hours. Raises Missing."""
    secret = new_secret()
    async with bench.database.transaction() as session:
        await _there(session, bench.workshop, name)
        await EndpointStore(session, bench.workshop).replace_secret(name, secret, now + timedelta(hours=hours))
        return Shown(await _there(session, bench.workshop, name), secret)


async def switch(bench: Bench, name: str, *, enabled: bool, now: datetime) -> EndpointRecord:
    """Enables or disables an endpoint; where it is disabled, what waits for it is given up. Raises Missing."""
    async with bench.database.transaction() as session:
        found = await _there(session, bench.workshop, name)
        if enabled == (found.disabled_because == ENABLED):
            return found
        await EndpointStore(session, bench.workshop).disable(name, ENABLED if enabled else ASKED)
        if not enabled:
            await give_up(session, name, DISABLED, now)
        return await _there(session, bench.workshop, name)


async def remove(bench: Bench, name: str) -> None:
    """Deletes an endpoint with its secrets and its notifications; raises Missing."""
    async with bench.database.transaction() as session:
        await _there(session, bench.workshop, name)
        await EndpointStore(session, bench.workshop).remove(name)


async def _there(session: AsyncSession, workshop: str, name: str) -> EndpointRecord:
    found = await EndpointStore(session, workshop).endpoint(name)
    if found is None:
        raise Missing("endpoint", name)
    return found
