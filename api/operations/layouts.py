"""Laying grades out on cloth, and reading layouts."""

from __future__ import annotations

import asyncio
import json
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from sqlalchemy.exc import IntegrityError

from api import VERSION
from api.jobs.executor import NoWorkers, QueueFull
from api.logs import logger
from api.operations.errors import Missing
from api.operations.grades import read as read_grade
from api.operations.grades import regraded
from api.operations.identity import layouts_name
from api.operations.keeper import Live, Outcome, Work
from api.operations.solving import solved, solved_long
from api.storage.jobs import DONE, WAITING, JobStore, NewJob
from api.storage.layouts import LayoutsStore, NewLayouts

if TYPE_CHECKING:
    from api.operations.bench import Bench
    from api.storage.records import LayoutsRecord

KIND = "layouts"
LOG = logger()
PATIENCE = 1.0
"""Seconds between two tries to get into the queue."""
LOOK_AGAIN = 0.2
"""Seconds between two looks at what another server has in hand."""
LEAST_WAIT = 0.05
"""Seconds that are always waited, in which a refusal that needs no work is seen."""


@dataclass(frozen=True)
class Asked:
    """How a grade is to be laid out: the library's settings, and seconds in which there must be an answer."""

    settings: dict[str, Any]
    seconds: float | None = None

    def written(self) -> str:
        """As JSON text: the same for the same wishes."""
        return json.dumps({"seconds": self.seconds, "settings": self.settings}, ensure_ascii=False, sort_keys=True)


@dataclass(frozen=True)
class Made:
    """Layouts, and whether they were not there before."""

    layouts: LayoutsRecord
    new: bool


@dataclass(frozen=True)
class Begun:
    """A job that goes on, by its name."""

    job: str


async def make(bench: Bench, grade: str, asked: Asked, wait: float) -> Made | Begun:
    """The layouts of a grade if they are there within `wait` seconds, else the job that makes them.

    What was asked before without a time limit is given again, and a job that is at it already is joined. Raises
    Missing, GradeOutdated, RequestRefused, DoesNotFit and TooMuchWork if that is known within the wait; then nothing is
    stored.
    """
    await read_grade(bench, grade)
    new = NewJob(str(uuid4()), grade, KIND, VERSION, asked.written(), **bench.jobs.leased())
    known = await _known(bench, new) if asked.seconds is None else None
    if known is not None:
        return Made(await read(bench, known), new=False)
    joined = await _joined(bench, new)
    if isinstance(joined, str):
        return await _made_elsewhere(bench, joined, wait)
    live = joined or await _begun(bench, new, asked)
    if not await bench.jobs.ended(live, max(wait, LEAST_WAIT)):
        live.announced = True
        return Begun(live.name)
    if live.task.exception() is not None and not live.announced:
        async with bench.database.transaction() as session:
            await JobStore(session, bench.workshop).forget(live.name)
    outcome = live.task.result()
    return Made(await read(bench, outcome.name), outcome.new)


async def resume(bench: Bench) -> None:
    """Begins jobs of every workshop again that another server left unfinished, before this one or beside it."""
    for job in await bench.jobs.take():
        work = _work(bench.of(job.workshop), job.grade, Asked(**json.loads(job.request)))
        bench.jobs.begin(job.id, job.workshop, _patient(work)).announced = True


async def attend(bench: Bench) -> None:
    """Renews the leases of the jobs in hand and takes up those of servers that are gone, until it is cancelled."""
    while True:
        await asyncio.sleep(bench.jobs.round)
        try:
            await bench.jobs.renew()
            await resume(bench)
        except Exception as error:
            # It must go on: without it every job of this server would be another's after a while.
            LOG.error("leases-not-renewed", exc_info=error)


async def read(bench: Bench, name: str) -> LayoutsRecord:
    """The layouts; raises Missing."""
    async with bench.database.transaction() as session:
        found = await LayoutsStore(session, bench.workshop).layouts(name)
    if found is None:
        raise Missing("layouts", name)
    return found


async def picture(bench: Bench, layouts: LayoutsRecord, cloth: str | None) -> str:
    """A picture of all cloths, or of one, as SVG; raises Missing for a cloth that is not laid out, and TooMuchWork."""
    if cloth is not None and cloth not in json.loads(layouts.document)["cloths"]:
        raise Missing("layout of the cloth", cloth)
    grade = await read_grade(bench, layouts.grade)
    return str(await solved(bench, "picture", layouts=layouts.document, grade=grade.document, cloth=cloth))


async def _known(bench: Bench, new: NewJob) -> str | None:
    """What the same request has made before."""
    async with bench.database.transaction() as session:
        done = await JobStore(session, bench.workshop).alike(new, DONE)
    return None if done is None else done.result


async def _joined(bench: Bench, new: NewJob) -> Live | str | None:
    """The job by which the same is asked, by its name where another server has it in hand.

    One with a time limit is for its own request only.
    """
    if json.loads(new.request)["seconds"] is not None:
        return None
    async with bench.database.transaction() as session:
        waiting = await JobStore(session, bench.workshop).alike(new, WAITING)
    return None if waiting is None else bench.jobs.live(waiting.id, bench.workshop) or waiting.id


async def _made_elsewhere(bench: Bench, job: str, wait: float) -> Made | Begun:
    """What another server makes, if it is there in time; how the job fails, it tells itself."""
    until = time.monotonic() + wait
    while True:
        async with bench.database.transaction() as session:
            found = await JobStore(session, bench.workshop).job(job)
        if found is not None and found.state == DONE and found.result is not None:
            return Made(await read(bench, found.result), new=False)
        if found is None or found.state != WAITING or time.monotonic() >= until or bench.jobs.stopping:
            return Begun(job)
        await asyncio.sleep(LOOK_AGAIN)


async def _begun(bench: Bench, new: NewJob, asked: Asked) -> Live:
    async with bench.database.transaction() as session:
        await JobStore(session, bench.workshop).add(new)
    return bench.jobs.begin(new.id, bench.workshop, _patient(_work(bench, new.grade, asked)))


def _work(bench: Bench, grade: str, asked: Asked) -> Work:
    # This clock is the same for all processes of a machine, so that the time in a queue counts.
    until = None if asked.seconds is None else time.monotonic() + asked.seconds

    async def work(live: Live) -> Outcome:
        arguments = {**await regraded(bench, grade), "settings": asked.settings, "until": until}
        laid = await solved_long(bench, "layouts", live.begun, live.heard, **arguments)
        name = layouts_name(bench.workshop, grade, laid["document"])
        return await _stored(bench, NewLayouts(name, grade, VERSION, laid["document"], laid["csv"]))

    return work


def _patient(work: Work) -> Work:
    """The same work, which waits for room and for workers once somebody has been promised it."""

    async def patient(live: Live) -> Outcome:
        while True:
            try:
                return await work(live)
            except (QueueFull, NoWorkers):
                if not live.announced:
                    raise
                await asyncio.sleep(PATIENCE)

    return patient


async def _stored(bench: Bench, new: NewLayouts) -> Outcome:
    try:
        async with bench.database.transaction() as session:
            await LayoutsStore(session, bench.workshop).add(new)
    except IntegrityError:
        # The same has been found before.
        return Outcome(new.id, new=False)
    return Outcome(new.id, new=True)
