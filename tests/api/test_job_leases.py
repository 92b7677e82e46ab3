"""Several servers on one database: each job is one server's, and that of a server that is gone another's."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from api.operations.keeper import JobKeeper, Live, Outcome
from api.settings import Settings
from api.storage.database import Database
from api.storage.jobs import CANCELLED, DONE, WAITING, Ending, JobStore, NewJob
from api.storage.workshops import HOUSE
from tests.api.conftest import Client
from tests.api.support import PROGRESS, ScriptedSolver, layouts_document, signed_in

LATER, SOON = {"Prefer": "respond-async"}, {"Prefer": "wait=20"}
SLOW = {"settings": {"effort": "slow search"}}
LEASE = 0.3


def _until(holds: Callable[[], bool]) -> None:
    deadline = time.monotonic() + 30
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.01)


def _name(number: int) -> str:
    return f"00000000-0000-4000-8000-{number:012d}"


async def _keepers(settings: Settings, count: int, lease: float = 60) -> list[tuple[Database, JobKeeper]]:
    databases = [Database(settings.database_url) for _ in range(count)]
    return [(database, JobKeeper(database, str, lease)) for database in databases]


async def _add(database: Database, grade: str, *names: str, **held: Any) -> None:
    async with database.transaction() as session:
        for name in names:
            await JobStore(session, HOUSE).add(
                NewJob(name, grade, "layouts", "1", '{"seconds": null, "settings": {}}', **held)
            )


async def test_of_many_servers_each_job_is_taken_up_by_one(
    client: Client, grade: dict[str, str], settings: Settings
) -> None:
    keepers = await _keepers(settings, 4)
    names = [_name(number) for number in range(20)]
    await _add(keepers[0][0], grade["id"], *names)
    taken: list[str] = []
    for _ in range(4):
        found = await asyncio.gather(*(keeper.take() for _, keeper in keepers))
        taken += [job.id for jobs in found for job in jobs]
    assert sorted(taken) == names
    for database, _ in keepers:
        await database.close()


async def test_a_lease_that_is_renewed_holds_and_one_that_is_not_is_anothers(
    client: Client, grade: dict[str, str], settings: Settings
) -> None:
    (one, first), (two, second) = await _keepers(settings, 2, LEASE)
    name, going = _name(1), asyncio.Event()
    await _add(one, grade["id"], name, **first.leased())

    async def work(live: Live) -> Outcome:
        await going.wait()
        return Outcome("f" * 64, new=True)

    live = first.begin(name, HOUSE, work)
    for _ in range(3):
        await asyncio.sleep(LEASE / 2)
        await first.renew()
        assert await second.take() == ()
    await asyncio.sleep(LEASE * 1.5)
    assert [job.id for job in await second.take()] == [name]
    going.set()
    await live.task
    async with two.transaction() as session:
        assert (await JobStore(session, HOUSE).job(name)).state == WAITING  # type: ignore[union-attr]
        assert not await JobStore(session, HOUSE).end(name, Ending(DONE), "another server")
    await one.close()
    await two.close()


async def test_a_server_lets_go_of_what_has_become_anothers(
    client: Client, grade: dict[str, str], settings: Settings
) -> None:
    (one, first), (two, second) = await _keepers(settings, 2, LEASE)
    name = _name(2)
    await _add(one, grade["id"], name, **first.leased())
    live = first.begin(name, HOUSE, lambda _: asyncio.sleep(60, Outcome("", new=True)))
    await asyncio.sleep(LEASE * 1.5)
    assert [job.id for job in await second.take()] == [name]
    await first.renew()
    assert live.task.cancelled()
    assert first.live(name, HOUSE) is None
    await one.close()
    await two.close()


async def test_a_server_that_stops_gives_its_jobs_back(
    client: Client, grade: dict[str, str], settings: Settings
) -> None:
    (one, first), (two, second) = await _keepers(settings, 2)
    await _add(one, grade["id"], _name(3), **first.leased())
    assert await second.take() == ()
    await first.close()
    assert [job.id for job in await second.take()] == [_name(3)]
    await one.close()
    await two.close()


@pytest.fixture
def beside(client: Client, settings: Settings, solver: ScriptedSolver) -> Any:
    """Another server on the same database, with workers of its own."""
    with signed_in(replace(settings, job_lease=LEASE), ScriptedSolver()) as other:
        other.headers.update(client.headers)
        yield other


def test_another_server_tells_of_a_job_and_gives_what_it_made(
    client: Client, beside: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    solver.held = True
    begun = client.post(f"/grades/{grade['id']}/layouts", json=SLOW, headers=LATER)
    again = beside.post(f"/grades/{grade['id']}/layouts", json=SLOW, headers=LATER)
    assert again.headers["location"] == begun.headers["location"]
    with client.portal() as portal:
        portal.call(client.app.state.jobs.renew)
    job = beside.get(begun.headers["location"]).json()
    assert (job["state"], job["progress"]) == ("working", {"main": PROGRESS})
    answers: list[Any] = []
    waiting = threading.Thread(
        target=lambda: answers.append(beside.post(f"/grades/{grade['id']}/layouts", json=SLOW, headers=SOON))
    )
    waiting.start()
    solver.held = False
    waiting.join(30)
    assert answers[0].status_code == 200
    assert beside.get(answers[0].headers["location"]).json() == layouts_document()
    assert [task for task, _ in solver.asked].count("layouts") == 1


def test_a_job_can_be_cancelled_at_another_server(
    client: Client, beside: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    solver.held = True
    address = client.post(f"/grades/{grade['id']}/layouts", json=SLOW, headers=LATER).headers["location"]
    assert beside.delete(address).status_code == 204
    with client.portal() as portal:
        portal.call(client.app.state.jobs.renew)
    assert client.app.state.jobs.live(address.rpartition("/")[2], HOUSE) is None
    assert {server.get(address).json()["state"] for server in (client, beside)} == {CANCELLED}


def test_the_job_of_a_server_that_is_gone_is_done_by_the_one_beside_it(
    client: Client, beside: Client, grade: dict[str, str], solver: ScriptedSolver
) -> None:
    with client.portal() as portal:
        portal.call(_add, client.app.state.bench.database, grade["id"], _name(4))
    address = f"/jobs/{_name(4)}"
    _until(lambda: beside.get(address).json()["state"] == DONE)
    assert beside.get(beside.get(address).json()["result"]).json() == layouts_document()
    assert "layouts" not in [task for task, _ in solver.asked]
