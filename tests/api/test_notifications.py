"""Endpoints and notifications by their addresses, and what arrives at a shop when an order is placed and moved."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from standardwebhooks.webhooks import Webhook

from api.settings import Settings
from tests.api.conftest import Client
from tests.api.shop import ShopSolver, place, quoted
from tests.api.support import NO_PATTERN, pattern_document, signed_in
from tests.notifying.receiver import PATIENCE, Had, Receiver, receiving

ALL = ["order.placed", "order.state", "order.note", "order.erased"]


@pytest.fixture
def solver() -> ShopSolver:
    return ShopSolver()


@pytest.fixture
def settings(settings: Settings) -> Settings:
    return replace(settings, notify_private=True)


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    with receiving() as started:
        yield started


@pytest.fixture
def endpoint(client: Client, receiver: Receiver) -> dict[str, Any]:
    return _make(client, receiver)


def _make(client: Client, receiver: Receiver, *events: str) -> dict[str, Any]:
    url = f"http://127.0.0.1:{receiver.port}/hook"
    answer = client.post("/endpoints", json={"url": url, "events": events or ALL, "says": "the till"})
    assert answer.status_code == 201, answer.text
    made: dict[str, Any] = answer.json()
    assert answer.headers["location"] == f"/endpoints/{made['id']}"
    return made


def _order(client: Client, pattern: dict[str, Any], key: str = "a-key-of-the-shop-1") -> dict[str, Any]:
    customer = {"name": "A. Winter", "contact": "winter@example.org", "reference": "shop-2041"}
    placed: dict[str, Any] = place(client, quoted(client, pattern), key, customer=customer, notes="for Ada").json()
    return placed


def _verified(endpoint: dict[str, Any], had: Had) -> dict[str, Any]:
    told: dict[str, Any] = Webhook(endpoint["secret"]).verify(had.body, had.headers)
    return told


def _until(client: Client, state: str, count: int = 1) -> list[dict[str, Any]]:
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        items: list[dict[str, Any]] = client.get(f"/notifications?state={state}").json()["items"]
        if len(items) == count:
            return items
        time.sleep(0.05)
    pytest.fail(f"there are not {count} notifications that are {state}: {client.get('/notifications').text}")


def test_a_shop_is_told_of_everything_that_becomes_of_an_order_and_can_verify_it(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], receiver: Receiver
) -> None:
    order = _order(client, pattern)
    address = f"/orders/{order['id']}"
    assert client.post(f"{address}/states", json={"to": "accepted"}, headers={"If-Match": "*"}).status_code == 200
    assert client.post(f"{address}/notes", json={"says": "she wrote again"}).status_code == 201
    assert client.delete(f"{address}/customer").status_code == 204
    told = sorted((_verified(endpoint, had) for had in receiver.wait_for(4)), key=lambda each: each["data"]["version"])
    assert [(each["type"], each["data"]["state"], each["data"]["version"]) for each in told] == [
        ("order.placed", "placed", 1),
        ("order.state", "accepted", 2),
        ("order.note", "accepted", 3),
        ("order.erased", "accepted", 4),
    ]
    shown = client.get(address).json()
    for each, entry in zip(told, shown["history"], strict=True):
        assert each["timestamp"] == entry["at"]
        assert each["data"]["order"] == order["id"]
        assert each["data"]["pattern"] == pattern["id"]
    sent = _until(client, "sent", 4)
    assert {each["id"] for each in sent} == {had.headers["webhook-id"] for had in receiver.had}
    bodies = {had.headers["webhook-id"]: json.loads(had.body) for had in receiver.had}
    assert {each["id"]: each["body"] for each in sent} == bodies


def test_nothing_of_the_customer_leaves_with_a_notification(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], receiver: Receiver
) -> None:
    order = _order(client, pattern)
    client.post(f"/orders/{order['id']}/notes", json={"says": "Ada wrote again"})
    text = b"".join(had.body for had in receiver.wait_for(2)).decode() + client.get("/notifications").text
    for private in ("Winter", "winter", "2041", "Ada"):
        assert private not in text


def test_an_order_sent_again_is_told_of_once(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], receiver: Receiver
) -> None:
    quote = quoted(client, pattern)
    for _ in range(3):
        assert place(client, quote).status_code == 201
    assert place(client, quote, "another-key-of-the-shop").status_code == 409
    _until(client, "sent")
    assert len(client.get("/notifications").json()["items"]) == len(receiver.had) == 1


def test_an_order_and_what_is_told_of_it_are_written_down_together_or_not_at_all(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    async def crash(*_: Any) -> None:
        raise RuntimeError("the power went")

    quote = quoted(client, pattern)
    with monkeypatch.context() as broken:
        broken.setattr("api.storage.notifications.NotificationStore.announce", crash)
        assert place(client, quote).status_code == 500
    assert client.get("/orders").json()["items"] == client.get("/notifications").json()["items"] == []
    order = place(client, quote).json()
    with monkeypatch.context() as broken:
        broken.setattr("api.storage.notifications.NotificationStore.announce", crash)
        assert client.post(f"/orders/{order['id']}/notes", json={"says": "lost"}).status_code == 500
    assert client.get(f"/orders/{order['id']}").json() == order
    assert len(client.get("/notifications").json()["items"]) == 1


def test_a_move_that_is_refused_is_not_told_of(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any]
) -> None:
    order = _order(client, pattern)
    answer = client.post(f"/orders/{order['id']}/states", json={"to": "sent"}, headers={"If-Match": "*"})
    assert answer.status_code == 409
    assert len(client.get("/notifications").json()["items"]) == 1


def test_a_secret_is_shown_once_and_replaced_without_a_gap(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], receiver: Receiver
) -> None:
    address = f"/endpoints/{endpoint['id']}"
    shown = client.get(address).json()
    assert shown == {key: value for key, value in endpoint.items() if key != "secret"}
    assert "whsec_" not in client.get("/endpoints").text
    made = client.post(f"{address}/secrets", json={"hours": 1}).json()
    assert made["secret"] != endpoint["secret"]
    assert made["old_secret_until"] is not None
    _order(client, pattern)
    (had,) = receiver.wait_for(1)
    assert _verified(made, had) == _verified(endpoint, had)
    client.post(f"{address}/secrets", json={"hours": 0})
    assert client.get(address).json()["state"] == "enabled"


def test_a_disabled_endpoint_is_not_told_and_what_it_missed_by_failing_can_be_sent_again(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], receiver: Receiver
) -> None:
    receiver.answer(500)
    _order(client, pattern)
    receiver.wait_for(1)
    address = f"/endpoints/{endpoint['id']}/states"
    disabled = client.post(address, json={"to": "disabled"}).json()
    assert (disabled["state"], disabled["disabled_because"]) == ("disabled", "asked")
    (dead,) = _until(client, "dead")
    _order(client, pattern, "a-key-of-the-shop-2")
    assert len(client.get("/notifications").json()["items"]) == 1
    refused = client.post(f"/notifications/{dead['id']}/replay")
    assert (refused.status_code, refused.json()["faults"][0]["path"]) == (422, "notification_id")
    assert client.post(address, json={"to": "enabled"}).json()["disabled_because"] is None
    receiver.answer(200)
    again = client.post(f"/notifications/{dead['id']}/replay")
    assert (again.status_code, again.json()["state"], again.json()["tries"]) == (202, "waiting", 0)
    (sent,) = _until(client, "sent")
    assert sent["id"] == dead["id"]
    assert {had.headers["webhook-id"] for had in receiver.had} == {dead["id"]}


def test_an_endpoint_that_answers_gone_is_disabled(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], receiver: Receiver
) -> None:
    receiver.answer(410)
    _order(client, pattern)
    (dead,) = _until(client, "dead")
    assert (dead["status"], dead["next_try"]) == (410, None)
    assert client.get(f"/endpoints/{endpoint['id']}").json()["disabled_because"] == "gone"


def test_a_deleted_endpoint_takes_its_notifications_along(
    client: Client, pattern: dict[str, Any], endpoint: dict[str, Any], receiver: Receiver
) -> None:
    _order(client, pattern)
    (sent,) = _until(client, "sent")
    assert client.delete(f"/endpoints/{endpoint['id']}").status_code == 204
    assert client.get(f"/endpoints/{endpoint['id']}").status_code == 404
    assert client.get(f"/notifications/{sent['id']}").status_code == 404
    assert client.get("/notifications").json() == {"items": [], "next": None}


def test_notifications_are_listed_in_parts_the_newest_first(
    client: Client, pattern: dict[str, Any], receiver: Receiver
) -> None:
    _make(client, receiver, "order.placed", "order.note")
    order = _order(client, pattern)
    for number in range(4):
        client.post(f"/orders/{order['id']}/notes", json={"says": str(number)})
    versions, after = [], ""
    while after is not None:
        page = client.get(f"/notifications?limit=2{after and f'&after={after}'}").json()
        versions += [item["body"]["data"]["version"] for item in page["items"]]
        after = page["next"]
    assert versions == [5, 4, 3, 2, 1]
    assert client.get(f"/notifications?after={NO_PATTERN}").status_code == 422
    assert client.get("/notifications?state=lost").status_code == 422


def test_what_one_server_wrote_down_the_next_one_sends(settings: Settings, receiver: Receiver) -> None:
    """Nobody listens while the first server runs."""
    receiver.answer(500, 200)
    with signed_in(settings, ShopSolver()) as before:
        endpoint = _make(before, receiver)
        order = _order(before, before.post("/patterns", json={"document": pattern_document()}).json())
        receiver.wait_for(1)
    with signed_in(settings, ShopSolver()) as after:
        (waiting,) = _until(after, "waiting")
        assert waiting["next_try"] is not None
        after.post(f"/notifications/{waiting['id']}/replay")
        _until(after, "sent")
    assert _verified(endpoint, receiver.had[-1])["data"]["order"] == order["id"]


@pytest.mark.parametrize(
    ("body", "path"),
    [
        ({"url": "ftp://shop.example/x", "events": ["order.placed"]}, "url"),
        ({"url": "https://user@shop.example/x", "events": ["order.placed"]}, "url"),
        ({"url": "https://shop.example/x", "events": []}, "events"),
        ({"url": "https://shop.example/x", "events": ["order.lost"]}, "events"),
        ({"url": "https://shop.example/x"}, "events"),
    ],
)
def test_an_endpoint_that_cannot_be_one_is_a_fault(client: Client, body: dict[str, Any], path: str) -> None:
    answer = client.post("/endpoints", json=body)
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["path"].startswith(path)


@pytest.mark.parametrize(
    "url", ["http://shop.example/x", "https://127.0.0.1/x", "https://localhost/", "https://[::1]/"]
)
def test_private_addresses_are_refused_unless_the_server_was_told_otherwise(settings: Settings, url: str) -> None:
    with signed_in(replace(settings, notify_private=False), ShopSolver()) as client:
        answer = client.post("/endpoints", json={"url": url, "events": ["order.placed"]})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["path"] == "url"


def test_there_are_only_so_many_endpoints(client: Client, receiver: Receiver) -> None:
    for _ in range(20):
        _make(client, receiver)
    answer = client.post("/endpoints", json={"url": "https://shop.example/x", "events": ["order.placed"]})
    assert answer.status_code == 422
    assert "20" in answer.json()["faults"][0]["problem"]
    listed = client.get("/endpoints?limit=5&offset=18").json()
    assert (len(listed["items"]), listed["total"]) == (2, 20)


def test_every_event_is_described_where_programs_look_for_it(client: Client) -> None:
    described = client.get("/openapi.json").json()["webhooks"]
    assert list(described) == ALL
    for event in described.values():
        headers = {parameter["name"] for parameter in event["post"]["parameters"]}
        assert headers == {"webhook-id", "webhook-timestamp", "webhook-signature"}
