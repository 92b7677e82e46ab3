"""The clock of the machine jumps, forwards and back: what was stored stays, and what was said of times still holds."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from api.settings import Settings
from tests.api.conftest import Client
from tests.api.shop import ShopSolver, place, quoted
from tests.api.support import new_key, pattern_document, signed_in

Jump = Callable[[timedelta], None]
PLACES = ("api.operations", "api.resources", "api.storage", "api.notifying", "api.access", "api.gate")
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(database_url=f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}")


@pytest.fixture
def client(settings: Settings) -> Iterator[Client]:
    with signed_in(settings, ShopSolver()) as started:
        yield started


@pytest.fixture
def jump(client: Client, monkeypatch: pytest.MonkeyPatch) -> Jump:
    """Sets the clock that the server reads this far from the true one."""
    shift = [timedelta(0)]

    class Clock(datetime):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> Any:
            return datetime.now(tz) + shift[0]

    for name, module in list(sys.modules.items()):
        if name.startswith(PLACES) and getattr(module, "datetime", None) is datetime:
            monkeypatch.setattr(module, "datetime", Clock)

    def jumped(to: timedelta) -> None:
        shift[0] = to

    return jumped


@pytest.fixture
def pattern(client: Client) -> dict[str, Any]:
    stored: dict[str, Any] = client.post("/patterns", json={"document": pattern_document()}).json()
    return stored


def _placed(client: Client, pattern: dict[str, Any]) -> Any:
    answer = place(client, quoted(client, pattern), str(uuid4()))
    assert answer.status_code == 201, answer.text
    return answer


def test_the_clock_that_jumps_here_is_the_one_that_the_server_reads(
    client: Client, pattern: dict[str, Any], jump: Jump
) -> None:
    jump(30 * DAY)
    quote = quoted(client, pattern)
    assert datetime.fromisoformat(quote["created_at"]) > datetime.now(UTC) + 29 * DAY


def test_each_order_is_listed_once_however_the_clock_jumps(client: Client, pattern: dict[str, Any], jump: Jump) -> None:
    names = []
    for shift in (0, 60, -300, 5, -300, 1000, 0):
        jump(shift * HOUR)
        names.append(_placed(client, pattern).json()["id"])
    listed: list[str] = []
    after = ""
    while True:
        page = client.get(f"/orders?limit=2{after}").json()
        listed += [order["id"] for order in page["items"]]
        if page["next"] is None:
            break
        after = f"&after={page['next']}"
    assert sorted(listed) == sorted(names)


def test_a_history_keeps_its_order_when_the_clock_is_set_back(
    client: Client, pattern: dict[str, Any], jump: Jump
) -> None:
    order = _placed(client, pattern).json()
    for shift, state in ((-5, "accepted"), (-9, "cutting"), (20, "sewing")):
        jump(shift * DAY)
        moved = client.post(f"/orders/{order['id']}/states", json={"to": state}, headers={"If-Match": "*"})
        assert moved.status_code == 200, moved.text
    history = client.get(f"/orders/{order['id']}").json()["history"]
    assert [entry["state"] for entry in history] == ["placed", "accepted", "cutting", "sewing"]


def test_an_order_that_is_sent_again_years_later_or_earlier_is_the_same(
    client: Client, pattern: dict[str, Any], jump: Jump
) -> None:
    quote, key = quoted(client, pattern), str(uuid4())
    first = place(client, quote, key)
    for shift in (-4000, 4000):
        jump(shift * DAY)
        again = place(client, quote, key)
        assert (again.status_code, again.content) == (201, first.content)
        assert again.headers["idempotency-replayed"] == "true"


def test_a_quote_that_ran_out_by_a_jump_holds_again_when_the_clock_is_right(
    client: Client, pattern: dict[str, Any], jump: Jump
) -> None:
    quote, key = quoted(client, pattern), str(uuid4())
    jump(400 * DAY)
    refused = place(client, quote, key)
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/quote-expired")
    jump(timedelta(0))
    assert place(client, quote, key).status_code == 201


def test_a_key_that_has_ended_works_while_the_clock_is_before_its_end_and_no_longer(
    client: Client, settings: Settings, jump: Jump
) -> None:
    short = new_key(settings, "read", days=2)
    assert client.get("/patterns", headers=short).status_code == 200
    jump(3 * DAY)
    assert client.get("/patterns", headers=short).status_code == 401
    assert client.get("/patterns").status_code == 200
    jump(-3 * DAY)
    assert client.get("/patterns", headers=short).status_code == 200


def test_the_newest_revision_is_the_head_though_its_time_is_the_earliest(
    client: Client, pattern: dict[str, Any], jump: Jump
) -> None:
    jump(-20 * DAY)
    headers = {"If-Match": f'"{pattern["head"]}"'}
    changed = client.post(
        f"/patterns/{pattern['id']}/revisions", json={"document": pattern_document(width=99)}, headers=headers
    )
    assert changed.status_code == 201, changed.text
    listed = client.get(f"/patterns/{pattern['id']}/revisions").json()["items"]
    numbers = [entry["number"] for entry in listed]
    assert numbers in ([1, 2], [2, 1])
    assert client.get(f"/patterns/{pattern['id']}").json()["head"] == changed.json()["id"]


def test_a_job_that_was_begun_before_a_jump_ends(client: Client, pattern: dict[str, Any], jump: Jump) -> None:
    grade = client.post(f"/patterns/{pattern['id']}/revisions/{pattern['head']}/grades", json={"size": "mini"}).json()[
        "id"
    ]
    for shift in (-50, 50):
        jump(shift * DAY)
        laid = client.post(
            f"/grades/{grade}/layouts", json={"settings": {"seed": 60 + shift}}, headers={"Prefer": "wait=20"}
        )
        assert laid.status_code == 201, laid.text
