"""The courier at a database, with a clock and a network of the tests: when it sends, and what it then says."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import pytest

from api.notifying.schedule import DELAYS, MOST_TRIES
from api.notifying.sending import Reply
from api.notifying.signing import new_secret, signature
from api.operations.courier import LEASE, Courier
from api.storage.database import Database
from api.storage.notifications import (
    ENABLED,
    GONE,
    EndpointRecord,
    EndpointStore,
    NewEndpoint,
    NotificationRecord,
    NotificationStore,
)
from api.storage.workshops import HOUSE, ensure_house

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
BODY = json.dumps({"type": "order.placed"})
ONE, TWO = "00000000-0000-4000-8000-00000000000a", "00000000-0000-4000-8000-00000000000b"


@dataclass
class Clock:
    """A clock that is put forward by hand."""

    now: datetime = NOON

    def __call__(self) -> datetime:
        return self.now


@dataclass
class Line:
    """Stands in for the network: keeps what is sent, and answers as it is told, the last answer for ever."""

    replies: list[Reply] = field(default_factory=lambda: [Reply(204)])
    sent: list[tuple[str, dict[str, str], bytes]] = field(default_factory=list)
    held: asyncio.Event | None = None

    async def send(self, url: str, headers: dict[str, str], body: bytes) -> Reply:
        self.sent.append((url, dict(headers), body))
        if self.held is not None:
            await self.held.wait()
        return self.replies.pop(0) if len(self.replies) > 1 else self.replies[0]


@dataclass
class Post:
    """A courier, and what it works with."""

    database: Database
    clock: Clock = field(default_factory=Clock)
    line: Line = field(default_factory=Line)
    secrets: dict[str, str] = field(default_factory=dict)

    def courier(self) -> Courier:
        return Courier(self.database, self.line, self.clock, lambda: 0.0)  # type: ignore[arg-type]

    async def endpoint(self, name: str = ONE, *events: str) -> None:
        self.secrets[name] = new_secret()
        chosen = events or ("order.placed",)
        new = NewEndpoint(name, f"https://{name}.example/", chosen, "", self.secrets[name], NOON)
        async with self.database.transaction() as session:
            await EndpointStore(session, HOUSE).add(new)

    async def announce(self, event: str = "order.placed") -> None:
        async with self.database.transaction() as session:
            await NotificationStore(session, HOUSE).announce(event, BODY, self.clock())

    async def all(self) -> tuple[NotificationRecord, ...]:
        async with self.database.transaction() as session:
            return await NotificationStore(session, HOUSE).notifications(100, None, None)

    async def only(self) -> NotificationRecord:
        (found,) = await self.all()
        return found

    async def disabled(self, name: str = ONE) -> EndpointRecord:
        async with self.database.transaction() as session:
            found = await EndpointStore(session, HOUSE).endpoint(name)
        assert found is not None
        return found


@pytest.fixture
async def post(database_url: str) -> AsyncIterator[Post]:
    database = Database(database_url)
    await database.migrate()
    async with database.transaction() as session:
        await ensure_house(session)
    yield Post(database)
    await database.close()


async def test_what_is_due_is_sent_once_and_signed(post: Post) -> None:
    await post.endpoint()
    await post.announce()
    assert await post.courier().round() == 1
    assert await post.courier().round() == 0
    ((url, headers, body),) = post.line.sent
    found = await post.only()
    assert (url, body) == (f"https://{ONE}.example/", BODY.encode())
    assert headers["webhook-id"] == found.id
    assert headers["webhook-timestamp"] == str(int(NOON.timestamp()))
    assert headers["webhook-signature"] == signature(post.secrets[ONE], found.id, int(NOON.timestamp()), body)
    assert (found.state, found.tries, found.status, found.ended_at) == ("sent", 1, 204, NOON)


async def test_each_endpoint_is_told_of_what_it_listens_to(post: Post) -> None:
    await post.endpoint(ONE, "order.placed")
    await post.endpoint(TWO, "order.placed", "order.note")
    await post.announce("order.placed")
    await post.announce("order.note")
    await post.announce("order.state")
    told = {(found.endpoint, found.event) for found in await post.all()}
    assert told == {(ONE, "order.placed"), (TWO, "order.placed"), (TWO, "order.note")}
    assert len({found.id for found in await post.all()}) == 3


async def test_nothing_is_told_of_what_did_not_happen(post: Post) -> None:
    await post.endpoint()
    with pytest.raises(RuntimeError):
        async with post.database.transaction() as session:
            await NotificationStore(session, HOUSE).announce("order.placed", BODY, NOON)
            raise RuntimeError("the power went")
    assert await post.all() == ()


async def test_what_is_not_taken_is_sent_again_by_the_schedule_and_then_is_dead(post: Post) -> None:
    await post.endpoint()
    await post.announce()
    post.line.replies = [Reply(500, "It was answered with 500.")]
    courier = post.courier()
    for wait in DELAYS:
        assert await courier.round() == 1
        found = await post.only()
        assert (found.state, found.says) == ("waiting", "It was answered with 500.")
        assert found.due_at == post.clock.now + wait
        post.clock.now += wait - timedelta(milliseconds=1)
        assert await courier.round() == 0
        post.clock.now += timedelta(milliseconds=1)
    assert await courier.round() == 1
    found = await post.only()
    assert (found.state, found.tries, found.status, found.ended_at) == ("dead", MOST_TRIES, 500, post.clock.now)
    post.clock.now += timedelta(days=10)
    assert await courier.round() == 0
    assert len(post.line.sent) == MOST_TRIES
    assert {headers["webhook-id"] for _, headers, _ in post.line.sent} == {found.id}
    assert len({headers["webhook-timestamp"] for _, headers, _ in post.line.sent}) == MOST_TRIES


async def test_what_is_dead_and_sent_again_has_all_its_tries_anew(post: Post) -> None:
    await post.endpoint()
    await post.announce()
    post.line.replies = [Reply(None, "nobody there")] * MOST_TRIES + [Reply(200)]
    for wait in (*DELAYS, timedelta()):
        await post.courier().round()
        post.clock.now += wait
    found = await post.only()
    assert (found.state, found.status, found.says) == ("dead", None, "nobody there")
    async with post.database.transaction() as session:
        await NotificationStore(session, HOUSE).send_again(found.id, post.clock.now)
    await post.courier().round()
    again = await post.only()
    assert (again.id, again.state, again.tries) == (found.id, "sent", 1)


async def test_an_endpoint_that_is_gone_is_disabled_and_nothing_more_is_sent_there(post: Post) -> None:
    await post.endpoint()
    await post.announce()
    await post.announce()
    post.line.replies = [Reply(500), Reply(410)]
    await post.courier().round()
    assert (await post.disabled()).disabled_because == GONE
    assert {found.state for found in await post.all()} == {"dead"}
    await post.announce()
    post.clock.now += timedelta(days=1)
    assert await post.courier().round() == 0
    assert len(await post.all()) == 2


async def test_a_receiver_that_asks_for_time_is_left_alone_for_it(post: Post) -> None:
    await post.endpoint()
    await post.announce()
    post.line.replies = [Reply(429, "", timedelta(minutes=10))]
    await post.courier().round()
    assert (await post.only()).due_at == NOON + timedelta(minutes=10)
    assert (await post.disabled()).disabled_because == ENABLED


async def test_two_secrets_sign_until_the_older_one_ends(post: Post) -> None:
    await post.endpoint()
    old, new = post.secrets[ONE], new_secret()
    async with post.database.transaction() as session:
        await EndpointStore(session, HOUSE).replace_secret(ONE, new, NOON + timedelta(hours=1))
    for passed, keys in ((timedelta(), [new, old]), (timedelta(hours=1), [new])):
        post.clock.now = NOON + passed
        await post.announce()
        await post.courier().round()
        _, headers, body = post.line.sent[-1]
        at = int(post.clock.now.timestamp())
        expected = [signature(key, headers["webhook-id"], at, body) for key in keys]
        assert headers["webhook-signature"].split() == expected


async def test_two_couriers_never_send_the_same(post: Post) -> None:
    await post.endpoint()
    for _ in range(30):
        await post.announce()
    couriers = [post.courier() for _ in range(4)]
    while sum(await asyncio.gather(*(courier.round() for courier in couriers))):
        pass
    names = [headers["webhook-id"] for _, headers, _ in post.line.sent]
    assert len(names) == len(set(names)) == 30
    assert {found.tries for found in await post.all()} == {1}


async def test_what_a_server_had_in_hand_when_it_crashed_is_sent_by_the_next(post: Post) -> None:
    await post.endpoint()
    await post.announce()
    post.line.held = asyncio.Event()
    crashed = asyncio.create_task(post.courier().round())
    while not post.line.sent:
        await asyncio.sleep(0.01)
    assert await post.courier().round() == 0
    crashed.cancel()
    await asyncio.wait({crashed})
    post.line.held = None
    post.clock.now += LEASE
    assert await post.courier().round() == 1
    found = await post.only()
    assert (found.state, found.tries) == ("sent", 2)
    assert {headers["webhook-id"] for _, headers, _ in post.line.sent} == {found.id}


async def test_what_comes_of_a_try_that_was_overtaken_changes_nothing(post: Post) -> None:
    await post.endpoint()
    await post.announce()
    post.line.held, post.line.replies = asyncio.Event(), [Reply(204), Reply(500)]
    slow = asyncio.create_task(post.courier().round())
    while not post.line.sent:
        await asyncio.sleep(0.01)
    held, post.line.held = post.line.held, None
    post.clock.now += LEASE
    await post.courier().round()
    assert (await post.only()).state == "sent"
    held.set()
    await slow
    found = await post.only()
    assert (found.state, found.tries, found.status) == ("sent", 2, 204)


async def test_what_was_sent_is_forgotten_after_a_month_and_what_is_dead_is_kept(post: Post) -> None:
    await post.endpoint(ONE, "order.placed")
    await post.announce()
    await post.courier().round()
    post.line.replies = [Reply(410)]
    await post.announce()
    await post.courier().round()
    courier = post.courier()
    post.clock.now += timedelta(days=29)
    await courier.sweep()
    assert len(await post.all()) == 2
    post.clock.now += timedelta(days=2)
    await courier.sweep()
    assert (await post.only()).state == "dead"


async def test_a_courier_whose_database_is_away_goes_on_when_it_is_back(
    post: Post, monkeypatch: pytest.MonkeyPatch
) -> None:
    await post.endpoint()
    await post.announce()
    courier, failed = post.courier(), asyncio.Event()
    courier.pause = 0.01
    taking = Courier.round

    async def away(self: Courier) -> int:
        failed.set()
        raise RuntimeError("away")

    monkeypatch.setattr(Courier, "round", away)
    courier.begin()
    await failed.wait()
    monkeypatch.setattr(Courier, "round", taking)
    while (await post.only()).state != "sent":
        await asyncio.sleep(0.01)
    await courier.close()
    assert len(post.line.sent) == 1
