"""Tokens of order forms: one pattern, some pages. CORS by the Fetch standard, https://fetch.spec.whatwg.org/#http-cors-protocol."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from api.access.origins import fault_of
from api.settings import Settings
from tests.api.conftest import Client
from tests.api.shop import ShopSolver
from tests.api.support import NO_PATTERN, new_key, second_workshop, signed_in

SHOP, OTHER, DESK = "https://shop.example", "https://other.example", "https://desk.example"
ALLOWED = "access-control-allow-origin"


@pytest.fixture
def settings(settings: Settings) -> Settings:
    return replace(settings, origins=(DESK,))


@pytest.fixture
def solver() -> ShopSolver:
    return ShopSolver()


@pytest.fixture
def form(client: Client, pattern: dict[str, str]) -> dict[str, Any]:
    answer = client.post(f"/patterns/{pattern['id']}/forms", json={"origins": [SHOP], "says": "the shop's page"})
    assert answer.status_code == 201
    made: dict[str, Any] = answer.json()
    assert answer.headers["location"] == f"/patterns/{pattern['id']}/forms/{made['id']}"
    return made


@pytest.fixture
def customer(client: Client, form: dict[str, Any]) -> Iterator[Client]:
    """A page of the shop, which has the form's token."""
    client.headers.update({"Authorization": f"Bearer {form['token']}"})
    yield client


def _ask(client: Client, path: str, origin: str, method: str = "GET", **more: str) -> Any:
    headers = {"Origin": origin, "Access-Control-Request-Method": method, **more}
    return client.options(path, headers={**headers, "Authorization": ""})


def test_a_token_is_shown_once(client: Client, pattern: dict[str, str], form: dict[str, Any]) -> None:
    address = f"/patterns/{pattern['id']}/forms"
    token = form.pop("token")
    assert token.startswith(f"swf_{form['id']}_")
    assert client.get(f"{address}/{form['id']}").json() == form
    assert client.get(address).json() == {"items": [form], "total": 1}


def test_a_token_reads_the_form_and_asks_for_quotes(customer: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}"
    assert customer.get(f"{address}/form").status_code == 200
    assert customer.post(f"{address}/quotes", json={"size": "mini"}).status_code == 201


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/patterns"),
        ("GET", "/patterns/{id}"),
        ("GET", "/patterns/{id}/revisions/{head}"),
        ("GET", "/patterns/{id}/forms"),
        ("POST", "/patterns/{id}/forms"),
        ("GET", "/orders"),
        ("GET", "/keys"),
        ("POST", "/checks"),
        ("GET", "/drafts"),
    ],
)
def test_a_token_does_nothing_else(customer: Client, pattern: dict[str, str], method: str, path: str) -> None:
    answer = customer.request(method, path.format(**pattern), json={} if method == "POST" else None)
    assert (answer.status_code, answer.json()["type"]) == (403, "/problems/scope-missing")


def test_a_form_that_does_not_exist_is_answered_like_that_of_another_pattern(
    customer: Client, settings: Settings
) -> None:
    theirs = customer.get(f"/patterns/{NO_PATTERN}/form")
    assert (theirs.status_code, theirs.json()["detail"]) == (
        404,
        f"There is no pattern {NO_PATTERN!r} in this workshop.",
    )


def test_a_closed_form_works_no_more_at_once(client: Client, pattern: dict[str, str], form: dict[str, Any]) -> None:
    address, token = f"/patterns/{pattern['id']}/forms/{form['id']}", {"Authorization": f"Bearer {form['token']}"}
    assert client.get("/caller", headers=token).status_code == 200
    for _ in range(2):
        assert client.delete(address).status_code == 204
    assert client.get("/caller", headers=token).status_code == 401
    assert client.get(address).json()["revoked_at"] is not None
    assert ALLOWED not in _ask(client, f"/patterns/{pattern['id']}/form", SHOP).headers


def test_a_token_tells_what_it_is_bound_to_and_nothing_of_its_workshop(
    customer: Client, pattern: dict[str, str], form: dict[str, Any]
) -> None:
    told = customer.get("/caller").json()
    assert told["form"] == {"id": form["id"], "pattern": pattern["id"], "origins": [SHOP]}
    assert (told["workshop"], told["key"], told["scopes"]) == (None, None, ["form"])


def test_forms_are_opened_by_who_designs(client: Client, settings: Settings, pattern: dict[str, str]) -> None:
    address, body = f"/patterns/{pattern['id']}/forms", {"origins": [SHOP]}
    assert client.post(address, json=body, headers=new_key(settings, "order", "read")).status_code == 403
    assert client.post(address, json=body, headers=new_key(settings, "design")).status_code == 201
    assert client.post(address, json=body, headers=second_workshop(settings)).status_code == 404


@pytest.mark.parametrize(
    ("origin", "fine"),
    [
        ("https://shop.example", True),
        ("https://shop.example:8443", True),
        ("http://localhost:8080", True),
        ("http://127.0.0.1:8080", True),
        ("http://[::1]:8080", True),
        ("https://xn--bcher-kva.example", True),
        ("http://shop.example", False),
        ("https://shop.example:443", False),
        ("http://localhost:80", False),
        ("https://shop.example:0", False),
        ("https://shop.example:99999", False),
        ("https://shop.example/", False),
        ("https://shop.example/page", False),
        ("https://Shop.example", False),
        ("https://*.example", False),
        ("https://user@shop.example", False),
        ("https://shop..example", False),
        ("https://-shop.example", False),
        ("https://shop.example\n", False),
        ("shop.example", False),
        ("null", False),
        ("*", False),
        ("", False),
        ("https://" + "a." * 130 + "example", False),
    ],
)
def test_origins_are_written_as_browsers_send_them(
    client: Client, pattern: dict[str, str], origin: str, fine: bool
) -> None:
    assert (fault_of(origin) is None) is fine
    answer = client.post(f"/patterns/{pattern['id']}/forms", json={"origins": [OTHER, origin]})
    assert answer.status_code == (201 if fine else 422)
    if not fine:
        assert answer.json()["faults"][0]["path"].startswith("origins.1")


def test_a_page_of_the_shop_may_read_what_it_asks_for(customer: Client, pattern: dict[str, str]) -> None:
    answer = customer.get(f"/patterns/{pattern['id']}/form", headers={"Origin": SHOP})
    assert answer.status_code == 200
    assert answer.headers[ALLOWED] == SHOP
    assert "Origin" in answer.headers["vary"]
    assert "ETag" in answer.headers["access-control-expose-headers"]
    assert "access-control-allow-credentials" not in answer.headers


@pytest.mark.parametrize("origin", [OTHER, "null", "https://shop.example.evil.example", "http://shop.example", DESK])
def test_a_page_of_elsewhere_gets_nothing_with_the_token(
    customer: Client, pattern: dict[str, str], origin: str
) -> None:
    answer = customer.get(f"/patterns/{pattern['id']}/form", headers={"Origin": origin})
    assert (answer.status_code, answer.json()["type"]) == (403, "/problems/origin-refused")
    assert answer.headers.get(ALLOWED) in ((DESK,) if origin == DESK else (None,))


def test_a_refusal_can_be_read_by_the_shop_too(customer: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/quotes"
    answer = customer.post(address, json={"size": "giant"}, headers={"Origin": SHOP})
    assert (answer.status_code, answer.headers[ALLOWED]) == (422, SHOP)


def test_pages_of_the_settings_may_use_keys(client: Client) -> None:
    for path in ("/patterns", f"/patterns/{NO_PATTERN}", "/health"):
        assert client.get(path, headers={"Origin": DESK}).headers[ALLOWED] == DESK
        assert ALLOWED not in client.get(path, headers={"Origin": OTHER}).headers
        assert "Origin" in client.get(path).headers["vary"]
    unsigned = client.get("/patterns", headers={"Origin": DESK, "Authorization": ""})
    assert (unsigned.status_code, unsigned.headers[ALLOWED]) == (401, DESK)


def test_a_browser_that_asks_first_is_told_what_may_be_sent(client: Client) -> None:
    answer = _ask(client, "/patterns", DESK, "POST", **{"Access-Control-Request-Headers": "authorization"})
    assert (answer.status_code, answer.headers[ALLOWED]) == (204, DESK)
    assert answer.headers["access-control-allow-methods"] == "POST"
    assert "Authorization" in answer.headers["access-control-allow-headers"]
    assert "Origin" in answer.headers["vary"]
    assert ALLOWED not in _ask(client, "/patterns", OTHER, "POST").headers
    assert "access-control-allow-methods" not in _ask(client, "/patterns", DESK, "PUT").headers


def test_a_browser_on_a_page_of_the_shop_may_ask_for_the_form_alone(
    client: Client, pattern: dict[str, str], form: dict[str, Any]
) -> None:
    own = f"/patterns/{pattern['id']}"
    assert _ask(client, f"{own}/form", SHOP).headers[ALLOWED] == SHOP
    assert _ask(client, f"{own}/revisions/{pattern['head']}/quotes", SHOP, "POST").headers[ALLOWED] == SHOP
    assert ALLOWED not in _ask(client, f"{own}/form", OTHER).headers
    assert ALLOWED not in _ask(client, own, SHOP).headers
    assert ALLOWED not in _ask(client, f"/patterns/{NO_PATTERN}/form", SHOP).headers


def test_without_pages_of_elsewhere_nothing_is_said_of_them(settings: Settings) -> None:
    with signed_in(replace(settings, origins=()), ShopSolver()) as client:
        headers = client.get("/patterns", headers={"Origin": DESK}).headers
        assert not [name for name in headers if name.startswith("access-control")]
        assert "vary" not in headers
