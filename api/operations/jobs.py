"""Reading jobs and cancelling them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from api.operations.errors import Missing
from api.operations.keeper import WORKING
from api.storage.jobs import WAITING, JobStore, counted_by_state

if TYPE_CHECKING:
    from api.operations.bench import Bench

NOTHING = "{}"


@dataclass(frozen=True)
class Told:
    """A job as it stands now; `result` is the name of what it made, `problem` what stood in the way."""

    id: str
    kind: str
    state: str
    progress: dict[str, Any]
    result: str | None
    problem: dict[str, Any] | None


async def read(bench: Bench, name: str) -> Told:
    """The job as it stands now; raises Missing."""
    # What is in hand is looked at first: a job that ends in between is found ended.
    live = bench.jobs.live(name, bench.workshop)
    async with bench.database.transaction() as session:
        record = await JobStore(session, bench.workshop).job(name)
    if record is None:
        raise Missing("job", name)
    if live is not None and record.state == WAITING:
        return Told(name, record.kind, live.state, dict(live.progress), None, None)
    if record.state == WAITING and record.progress != NOTHING:
        # Another server has it in hand, which writes down from time to time how far it has come.
        return Told(name, record.kind, WORKING, json.loads(record.progress), None, None)
    problem = None if record.problem is None else json.loads(record.problem)
    return Told(name, record.kind, record.state, json.loads(record.progress), record.result, problem)


async def counted(bench: Bench) -> dict[str, int]:
    """How many jobs of all workshops are in each state; those that have not ended are `waiting`."""
    async with bench.database.transaction() as session:
        return await counted_by_state(session)


async def cancel(bench: Bench, name: str) -> None:
    """Cancels a job that has not ended; raises Missing."""
    await read(bench, name)
    await bench.jobs.cancel(name, bench.workshop)
