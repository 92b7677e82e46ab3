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
from api.jobs.pool import QueueFull
from api.operations.errors import Missing
from api.operations.grades import read as read_grade
from api.operations.grades import regraded
from api.operations.identity import layouts_name
from api.operations.keeper import Live, Outcome, Work
from api.operations.solving import solved, solved_long
from api.storage.jobs import DONE, WAITING, JobStore, NewJob, workshops_waiting
from api.storage.layouts import LayoutsStore, NewLayouts

if TYPE_CHECKING:
    from api.operations.bench import Bench
    from api.storage.records import LayoutsRecord

KIND = "layouts"
PATIENCE = 1.0
"""Seconds between two tries to get into the queue."""
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
    new = NewJob(str(uuid4()), grade, KIND, VERSION, asked.written())
    known = await _known(bench, new) if asked.seconds is None else None
    if known is not None:
        return Made(await read(bench, known), new=False)
    live = await _joined(bench, new) or await _begun(bench, new, asked)
    await asyncio.wait({live.task}, timeout=max(wait, LEAST_WAIT))
    if not live.task.done() or live.task.cancelled():
        live.announced = True
        return Begun(live.name)
    if live.task.exception() is not None and not live.announced:
        async with bench.database.transaction() as session:
            await JobStore(session, bench.workshop).forget(live.name)
    outcome = live.task.result()
    return Made(await read(bench, outcome.name), outcome.new)


async def resume(bench: Bench) -> None:
    """Begins every job of every workshop again that a server before this one left unfinished."""
    async with bench.database.transaction() as session:
        workshops = await workshops_waiting(session)
    for workshop in workshops:
        await _resume(bench.of(workshop))


async def _resume(bench: Bench) -> None:
    async with bench.database.transaction() as session:
        left = await JobStore(session, bench.workshop).unfinished()
    for job in left:
        work = _work(bench, job.grade, Asked(**json.loads(job.request)))
        bench.jobs.begin(job.id, bench.workshop, _patient(work)).announced = True


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


async def _joined(bench: Bench, new: NewJob) -> Live | None:
    """The job in hand by which the same is asked; one with a time limit is for its own request only."""
    if json.loads(new.request)["seconds"] is not None:
        return None
    async with bench.database.transaction() as session:
        waiting = await JobStore(session, bench.workshop).alike(new, WAITING)
    return None if waiting is None else bench.jobs.live(waiting.id, bench.workshop)


async def _begun(bench: Bench, new: NewJob, asked: Asked) -> Live:
    async with bench.database.transaction() as session:
        await JobStore(session, bench.workshop).add(new)
    return bench.jobs.begin(new.id, bench.workshop, _work(bench, new.grade, asked))


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
    """The same work, which waits where the queue is full: somebody has been promised it."""

    async def patient(live: Live) -> Outcome:
        while True:
            try:
                return await work(live)
            except QueueFull:
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
