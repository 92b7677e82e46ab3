"""Quotes and orders by their addresses: placed once whatever happens, kept as they were, moved from state to state."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy.exc import IntegrityError

from api.access.caller import Caller
from api.operations import orders, quotes
from api.operations.order_errors import QuoteExpired
from api.settings import Settings
from api.storage.workshops import HOUSE
from tests.api.conftest import Client
from tests.api.shop import KEY, ShopSolver, count, place, quoted, rows
from tests.api.support import NO_PATTERN, pattern_document, signed_in

OTHER_KEY = "11111111-2222-4333-8444-555555555555"
WORKSHOP = Caller("0" * 16, HOUSE, frozenset({"order"}))


@pytest.fixture
def solver() -> ShopSolver:
    return ShopSolver()


@pytest.fixture
def quote(client: Client, pattern: dict[str, Any]) -> dict[str, Any]:
    return quoted(client, pattern)


@pytest.fixture
def order(client: Client, quote: dict[str, Any]) -> dict[str, Any]:
    placed: dict[str, Any] = place(client, quote).json()
    return placed


def _move(client: Client, order: dict[str, Any], to: str, tag: str | None = "*", **more: Any) -> Any:
    headers = {} if tag is None else {"If-Match": tag}
    return client.post(f"/orders/{order['id']}/states", json={"to": to, **more}, headers=headers)


def test_a_quote_says_what_it_costs_and_until_when(client: Client, pattern: dict[str, Any]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/quotes"
    answer = client.post(address, json={"size": "mini", "quantity": 3})
    quote = answer.json()
    assert (answer.status_code, answer.headers["location"]) == (201, f"/quotes/{quote['id']}")
    assert quote["price"]["total"] == 3000
    assert quote["wish"] == {"size": "mini", "quantity": 3}
    held = datetime.fromisoformat(quote["valid_until"]) - datetime.fromisoformat(quote["created_at"])
    assert held == timedelta(days=14)
    assert client.get(answer.headers["location"]).json() == quote


def test_only_the_workshop_is_told_how_a_price_comes_about(client: Client, quote: dict[str, Any]) -> None:
    assert "secret" not in client.get(f"/quotes/{quote['id']}").text
    assert "secret of the workshop" in client.get(f"/quotes/{quote['id']}/price").text


def test_what_is_not_offered_is_a_fault(client: Client, pattern: dict[str, Any]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/quotes"
    answer = client.post(address, json={"size": "giant"})
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults")
    assert answer.json()["faults"][0]["remedy"] == "choose one of base, mini"


@pytest.mark.parametrize("body", [{}, {"size": "mini", "measures": {"width": 1}}, {"size": "mini", "quantity": 0}])
def test_a_wish_that_is_none_is_a_fault(client: Client, pattern: dict[str, Any], body: dict[str, Any]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/quotes"
    assert client.post(address, json=body).status_code == 422


def test_an_order_keeps_its_quote_and_begins_as_placed(client: Client, quote: dict[str, Any]) -> None:
    answer = place(client, quote, customer={"reference": "shop-1"}, notes="a gift")
    order = answer.json()
    assert answer.status_code == 201
    assert answer.headers["location"] == f"/orders/{order['id']}"
    assert (order["state"], order["next"]) == ("placed", ["accepted", "cancelled"])
    assert order["quote"] == quote
    assert order["customer"] == {"reference": "shop-1", "name": None, "contact": None}
    assert [(entry["kind"], entry["state"], entry["says"]) for entry in order["history"]] == [
        ("state", "placed", "a gift")
    ]
    assert client.get(f"/orders/{order['id']}").json() == order


@pytest.mark.parametrize("key", [None, "short", "has spaces in it, which it may not", "ä" * 20])
def test_an_order_without_a_usable_key_is_refused(
    client: Client, quote: dict[str, Any], key: str | None, settings: Settings
) -> None:
    headers = {} if key is None else {"Idempotency-Key": key.encode()}
    answer = client.post("/orders", json={"quote": quote["id"]}, headers=headers)  # type: ignore[arg-type]
    assert (answer.status_code, answer.json()["type"]) == (400, "/problems/no-idempotency-key")
    assert count(settings, "orders") == 0


def test_the_same_order_sent_again_is_answered_as_before(client: Client, quote: dict[str, Any]) -> None:
    first = place(client, quote)
    _move(client, first.json(), "accepted")
    second = place(client, quote)
    assert (second.status_code, second.content) == (201, first.content)
    assert second.headers["idempotency-replayed"] == "true"
    assert "idempotency-replayed" not in first.headers
    assert second.headers["location"] == first.headers["location"]


def test_another_order_with_the_same_key_is_refused(client: Client, quote: dict[str, Any], settings: Settings) -> None:
    place(client, quote)
    answer = place(client, quote, notes="another")
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/key-used-otherwise")
    assert count(settings, "orders") == 1


def test_a_quote_is_ordered_once(client: Client, quote: dict[str, Any], settings: Settings) -> None:
    place(client, quote)
    answer = place(client, quote, OTHER_KEY)
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/quote-ordered")
    assert (count(settings, "orders"), count(settings, "idempotency_keys")) == (1, 1)


def test_a_key_whose_order_was_refused_may_be_used_again(client: Client, quote: dict[str, Any]) -> None:
    assert place(client, {"id": NO_PATTERN}).status_code == 404
    assert place(client, quote).status_code == 201


def test_fifty_at_once_place_one_order(client: Client, quote: dict[str, Any], settings: Settings) -> None:
    with ThreadPoolExecutor(50) as together:
        answers = list(together.map(lambda _: place(client, quote), range(50)))
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.content for answer in answers}) == 1
    assert sum("idempotency-replayed" not in answer.headers for answer in answers) == 1
    assert (count(settings, "orders"), count(settings, "idempotency_keys")) == (1, 1)


def test_fifty_keys_at_once_order_a_quote_once(client: Client, quote: dict[str, Any], settings: Settings) -> None:
    with ThreadPoolExecutor(50) as together:
        answers = list(together.map(lambda number: place(client, quote, f"{KEY}-{number}"), range(50)))
    assert sorted(answer.status_code for answer in answers) == [201] + [409] * 49
    assert (count(settings, "orders"), count(settings, "idempotency_keys")) == (1, 1)


def test_an_order_is_not_placed_again_after_a_restart(settings: Settings) -> None:
    with signed_in(settings, ShopSolver()) as before:
        pattern = before.post("/patterns", json={"document": pattern_document()}).json()
        quote = quoted(before, pattern)
        first = place(before, quote)
    with signed_in(settings, ShopSolver()) as after:
        second = place(after, quote)
    assert (second.status_code, second.content) == (201, first.content)
    assert count(settings, "orders") == 1


def test_two_servers_at_one_database_place_one_order(settings: Settings) -> None:
    with signed_in(settings, ShopSolver()) as one, signed_in(settings, ShopSolver()) as other:
        pattern = one.post("/patterns", json={"document": pattern_document()}).json()
        quote = quoted(one, pattern)
        with ThreadPoolExecutor(20) as together:
            answers = list(together.map(lambda number: place((one, other)[number % 2], quote), range(20)))
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.content for answer in answers}) == 1
    assert count(settings, "orders") == 1


def test_neither_key_nor_order_is_left_of_what_fails_between_them(
    client: Client, quote: dict[str, Any], settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def crash(*_: Any) -> None:
        raise RuntimeError("the power went")

    with monkeypatch.context() as broken:
        broken.setattr("api.storage.orders.OrderStore.add", crash)
        assert place(client, quote).status_code == 500
    assert (count(settings, "orders"), count(settings, "idempotency_keys")) == (0, 0)
    assert place(client, quote).status_code == 201


def test_an_order_stays_as_it_is_when_the_pattern_moves_on(
    client: Client, pattern: dict[str, Any], order: dict[str, Any]
) -> None:
    document = {**pattern_document(), "name": "Larger pouch"}
    answer = client.post(f"/patterns/{pattern['id']}/revisions", json={"document": document}, headers={"If-Match": "*"})
    assert answer.status_code == 201
    assert client.get(f"/orders/{order['id']}").json() == order
    assert client.get(f"/patterns/{pattern['id']}").json()["head"] != order["quote"]["revision"]
    kept = client.get(f"/patterns/{pattern['id']}/revisions/{order['quote']['revision']}").json()
    assert kept["document"] == pattern_document()


def test_what_an_order_was_made_from_cannot_be_deleted(order: dict[str, Any], settings: Settings) -> None:
    quote = order["quote"]
    named = {"quotes": "id", "grades": "grade", "layouts": "layouts", "revisions": "revision"}
    for table, field in named.items():
        with pytest.raises(IntegrityError):
            rows(settings, f"DELETE FROM {table} WHERE id = :name", name=quote[field])
        assert count(settings, table) == 1


def test_a_quote_holds_until_its_time_and_no_longer(client: Client, pattern: dict[str, Any]) -> None:
    """The clock is given to what is done, so that no test waits for days."""
    begun, bench = datetime(2026, 3, 1, 12, tzinfo=UTC), client.app.state.bench.of(HOUSE)

    async def ordered(after: timedelta, key: str) -> orders.Placed:
        made = await quotes.make(bench, WORKSHOP, pattern["id"], pattern["head"], {"size": "mini"}, begun)
        wanted = orders.Wanted(made.id, {}, "")
        return await orders.place(bench, WORKSHOP, key, wanted, begun + after, lambda _: "{}")

    with client.portal() as portal:
        in_time = portal.call(ordered, timedelta(days=14) - timedelta(seconds=1), KEY)
        assert not in_time.replayed
        with pytest.raises(QuoteExpired) as late:
            portal.call(ordered, timedelta(days=14), OTHER_KEY)
    assert late.value.until == begun + timedelta(days=14)
    assert f"/patterns/{pattern['id']}/revisions/{pattern['head']}/quotes" in str(late.value)


def test_an_order_goes_from_state_to_state_with_a_history(client: Client, order: dict[str, Any]) -> None:
    for state in ("accepted", "cutting", "sewing", "cutting", "sewing", "ready", "sent"):
        answer = _move(client, order, state, says=f"now {state}")
        assert (answer.status_code, answer.json()["state"]) == (200, state)
    history = client.get(f"/orders/{order['id']}").json()["history"]
    assert [entry["state"] for entry in history] == [
        "placed", "accepted", "cutting", "sewing", "cutting", "sewing", "ready", "sent",
    ]  # fmt: skip
    times = [datetime.fromisoformat(entry["at"]) for entry in history]
    assert times == sorted(times)
    refused = _move(client, order, "cancelled")
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/state-refused")
    assert "it stays so" in refused.json()["detail"]


@pytest.mark.parametrize("before", [[], ["accepted"], ["accepted", "cutting", "sewing", "ready"]])
def test_an_order_may_be_cancelled_until_it_is_sent(client: Client, order: dict[str, Any], before: list[str]) -> None:
    for state in before:
        assert _move(client, order, state).status_code == 200
    assert _move(client, order, "cancelled", says="changed their mind").json()["next"] == []
    assert _move(client, order, "accepted").status_code == 409


def test_no_state_is_passed_over(client: Client, order: dict[str, Any]) -> None:
    answer = _move(client, order, "sewing")
    assert answer.status_code == 409
    assert "accepted or cancelled" in answer.json()["detail"]


def test_two_who_move_an_order_at_once_do_not_undo_each_other(client: Client, order: dict[str, Any]) -> None:
    tag = client.get(f"/orders/{order['id']}").headers["etag"]
    assert _move(client, order, "accepted", tag).status_code == 200
    late = _move(client, order, "cancelled", tag)
    assert (late.status_code, late.json()["type"]) == (412, "/problems/stale-order")
    assert _move(client, order, "cancelled", None).status_code == 428


def test_notes_are_kept_in_every_state(client: Client, order: dict[str, Any]) -> None:
    with ThreadPoolExecutor(6) as together:
        answers = list(
            together.map(
                lambda number: client.post(f"/orders/{order['id']}/notes", json={"says": f"note {number}"}), range(6)
            )
        )
    assert {answer.status_code for answer in answers} == {201}
    history = client.get(f"/orders/{order['id']}").json()["history"]
    assert {entry["says"] for entry in history if entry["kind"] == "note"} == {f"note {number}" for number in range(6)}
    assert client.get(f"/orders/{order['id']}").json()["state"] == "placed"


def test_a_customer_can_be_forgotten_and_the_order_stays(
    client: Client, quote: dict[str, Any], settings: Settings
) -> None:
    order = place(client, quote, customer={"name": "A. Winter", "contact": "w@example.org"}, notes="for Ada").json()
    assert client.delete(f"/orders/{order['id']}/customer").status_code == 204
    left = client.get(f"/orders/{order['id']}").json()
    assert left["customer"] == {"reference": None, "name": None, "contact": None}
    assert left["quote"] == quote
    assert [entry["kind"] for entry in left["history"]] == ["state", "erased"]
    kept = [rows(settings, f"SELECT * FROM {table}") for table in ("orders", "order_events", "idempotency_keys")]
    assert all(kept)
    for word in ("Winter", "w@example.org", "for Ada"):
        assert word not in repr(kept)


def test_orders_are_listed_a_part_at_a_time_the_newest_first(client: Client, pattern: dict[str, Any]) -> None:
    placed = [place(client, quoted(client, pattern), f"{KEY}-{number}").json()["id"] for number in range(5)]
    seen, address = [], "/orders?limit=2"
    while True:
        part = client.get(address).json()
        seen += [order["id"] for order in part["items"]]
        if part["next"] is None:
            break
        address = f"/orders?limit=2&after={part['next']}"
    assert seen == placed[::-1]


def test_orders_are_listed_by_state(client: Client, pattern: dict[str, Any]) -> None:
    placed = [place(client, quoted(client, pattern), f"{KEY}-{number}").json() for number in range(3)]
    _move(client, placed[1], "accepted")
    assert [order["id"] for order in client.get("/orders?state=accepted").json()["items"]] == [placed[1]["id"]]
    assert client.get("/orders?state=lost").status_code == 422
    assert client.get(f"/orders?after={NO_PATTERN}").status_code == 422


def test_the_order_form_of_a_revision_is_worked_out_once(
    client: Client, pattern: dict[str, Any], solver: ShopSolver
) -> None:
    head = client.get(f"/patterns/{pattern['id']}/form")
    own = client.get(f"/patterns/{pattern['id']}/revisions/{pattern['head']}/form")
    assert head.status_code == 200
    assert head.json() == own.json()
    assert (head.json()["revision"], head.json()["id"]) == (pattern["head"], pattern["id"])
    assert [task for task, _ in solver.asked].count("form") == 1
    known = {"If-None-Match": head.headers["etag"]}
    assert client.get(f"/patterns/{pattern['id']}/form", headers=known).status_code == 304
