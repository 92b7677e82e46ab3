"""Opening order forms, reading and closing them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.access import origins, secrets
from api.operations.errors import Fault, Missing, RequestRefused
from api.operations.patterns import pattern as read_pattern
from api.storage.forms import FormStore, NewForm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.ext.asyncio import AsyncSession

    from api.operations.bench import Bench
    from api.storage.records import FormRecord, Page


@dataclass(frozen=True)
class Shown:
    """A new form with its token, which is never to be had again."""

    form: FormRecord
    token: str


async def open_form(bench: Bench, pattern: str, says: str, bound: Sequence[str]) -> Shown:
    """An order form of a pattern for pages of these origins. Raises Missing, and RequestRefused for odd origins."""
    await read_pattern(bench, pattern)
    faults = [
        Fault(f"origins.{place}", *problem.split(". ", 1))
        for place, origin in enumerate(bound)
        if (problem := origins.fault_of(origin)) is not None
    ]
    if faults:
        raise RequestRefused(faults)
    credential = secrets.new(secrets.FORM_SIGN)
    new = NewForm(credential.name, pattern, says, tuple(sorted(set(bound))), credential.digest())
    async with bench.database.transaction() as session:
        return Shown(await FormStore(session, bench.workshop).add(new), credential.written())


async def forms(bench: Bench, pattern: str, limit: int, offset: int) -> Page[FormRecord]:
    """The forms of a pattern in the order in which they were made; raises Missing."""
    await read_pattern(bench, pattern)
    async with bench.database.transaction() as session:
        return await FormStore(session, bench.workshop).forms(pattern, limit, offset)


async def read(bench: Bench, pattern: str, name: str) -> FormRecord:
    """The form; raises Missing."""
    async with bench.database.transaction() as session:
        return await _there(session, bench.workshop, pattern, name)


async def close(bench: Bench, pattern: str, name: str) -> None:
    """Closes a form now; raises Missing. One that is closed stays as it is."""
    async with bench.database.transaction() as session:
        await _there(session, bench.workshop, pattern, name)
        await FormStore(session, bench.workshop).revoke(name)


async def _there(session: AsyncSession, workshop: str, pattern: str, name: str) -> FormRecord:
    found = await FormStore(session, workshop).form(pattern, name)
    if found is None:
        raise Missing("order form", name)
    return found
