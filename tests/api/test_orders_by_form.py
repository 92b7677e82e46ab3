"""What the public token of an order form may do, and what it may not."""

from __future__ import annotations

from typing import Any

import pytest

from tests.api.conftest import Client
from tests.api.shop import KEY, ShopSolver, place, quoted
from tests.api.support import pattern_document

SHOP = "https://shop.example"


@pytest.fixture
def solver() -> ShopSolver:
    return ShopSolver()


@pytest.fixture
def token(client: Client, pattern: dict[str, Any]) -> dict[str, str]:
    """The headers of a page of the shop."""
    made = client.post(f"/patterns/{pattern['id']}/forms", json={"origins": [SHOP]})
    assert made.status_code == 201, made.text
    return {"Authorization": f"Bearer {made.json()['token']}", "Origin": SHOP}


def _ask(client: Client, pattern: dict[str, Any], token: dict[str, str], revision: str | None = None) -> Any:
    address = f"/patterns/{pattern['id']}/revisions/{revision or pattern['head']}/quotes"
    return client.post(address, json={"size": "mini"}, headers=token)


def _order(client: Client, quote: str, token: dict[str, str], key: str = KEY) -> Any:
    return client.post("/orders", json={"quote": quote}, headers={**token, "Idempotency-Key": f'"{key}"'})


def test_a_customer_reads_the_form_asks_the_price_and_orders(
    client: Client, pattern: dict[str, Any], token: dict[str, str]
) -> None:
    assert client.get(f"/patterns/{pattern['id']}/form", headers=token).status_code == 200
    quote = _ask(client, pattern, token)
    assert (quote.status_code, quote.json()["price"]["total"]) == (201, 1000)
    assert client.get(f"/quotes/{quote.json()['id']}", headers=token).json() == quote.json()
    order = _order(client, quote.json()["id"], token)
    assert order.status_code == 201
    assert client.get(f"/orders/{order.json()['id']}").json()["state"] == "placed"


def test_a_customer_sees_neither_the_lines_of_a_price_nor_any_order(
    client: Client, pattern: dict[str, Any], token: dict[str, str]
) -> None:
    quote = _ask(client, pattern, token).json()
    order = _order(client, quote["id"], token).json()
    for address in (
        f"/quotes/{quote['id']}/price",
        "/orders",
        f"/orders/{order['id']}",
        f"/orders/{order['id']}/packet",
    ):
        assert client.get(address, headers=token).status_code == 403, address
    assert client.post("/packets", json={"orders": [order["id"]]}, headers=token).status_code == 403
    moved = client.post(f"/orders/{order['id']}/states", json={"to": "cancelled"}, headers={**token, "If-Match": "*"})
    assert moved.status_code == 403


def test_a_form_knows_nothing_of_another_pattern(
    client: Client, pattern: dict[str, Any], token: dict[str, str]
) -> None:
    other = client.post("/patterns", json={"document": pattern_document("Other pouch")}).json()
    quote = quoted(client, other)
    assert client.get(f"/patterns/{other['id']}/form", headers=token).status_code == 404
    assert _ask(client, other, token).status_code == 404
    assert client.get(f"/quotes/{quote['id']}", headers=token).status_code == 404
    assert _order(client, quote["id"], token).status_code == 404
    assert place(client, quote).status_code == 201


def test_a_form_sells_the_head_of_its_pattern_and_keeps_earlier_quotes(
    client: Client, pattern: dict[str, Any], token: dict[str, str]
) -> None:
    before = _ask(client, pattern, token).json()
    document = {**pattern_document(), "name": "Newer pouch"}
    moved = client.post(f"/patterns/{pattern['id']}/revisions", json={"document": document}, headers={"If-Match": "*"})
    assert _ask(client, pattern, token).status_code == 404
    assert client.get(f"/patterns/{pattern['id']}/form", headers=token).json()["revision"] == moved.json()["id"]
    assert _ask(client, pattern, token, moved.json()["id"]).status_code == 201
    assert _order(client, before["id"], token).json()["quote"]["revision"] == pattern["head"]


def test_keys_of_a_form_and_of_the_workshop_do_not_meet(
    client: Client, pattern: dict[str, Any], token: dict[str, str]
) -> None:
    own = place(client, quoted(client, pattern))
    by_form = _order(client, _ask(client, pattern, token).json()["id"], token)
    assert (own.status_code, by_form.status_code) == (201, 201)
    assert own.json()["id"] != by_form.json()["id"]


def test_a_page_of_another_origin_cannot_order(client: Client, pattern: dict[str, Any], token: dict[str, str]) -> None:
    quote = _ask(client, pattern, token).json()
    assert _order(client, quote["id"], {**token, "Origin": "https://elsewhere.example"}).status_code == 403
