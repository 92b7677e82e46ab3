"""A walk around the whole interface by the OWASP API Security Top 10 of 2023, besides what has tests elsewhere.

The table in DEVELOPERS.md says for each risk what was tried, and which test shows it.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from litestar.handlers import HTTPRouteHandler

from api.description import interface_description
from api.resources.all import CONTROLLERS
from api.settings import Settings
from tests.api.conftest import Client
from tests.api.shop import ShopSolver, place, quoted
from tests.api.support import NO_PATTERN, NOWHERE, new_key, pattern_document, signed_in

DESCRIBED = interface_description(CONTROLLERS)
OPERATIONS = {
    operation["operationId"]: (method, path, operation)
    for path, item in DESCRIBED["paths"].items()
    for method, operation in item.items()
    if isinstance(operation, dict) and "operationId" in operation
}
WITH_BODY = sorted(name for name, (*_, operation) in OPERATIONS.items() if "requestBody" in operation)
OPEN = {"readHealth", "readReadiness", "readMetrics", "readInterface", "readProblemKind", "readPatternSchema"}
NAMES = {"revision_id": NOWHERE, "grade_id": NOWHERE, "layouts_id": NOWHERE, "key_id": "0" * 16, "form_id": "0" * 16}
TRACES = ("Traceback", "site-packages", "sqlalchemy", "sqlite3", "asyncpg", 'File "', ".py")
PAYLOADS = {
    "a script": "<script>alert(1)</script>",
    "a template": "{{7*7}}${7*7}<%= 7*7 %>",
    "a shell": "$(touch owned);`touch owned`|touch owned",
    "SQL": "x'); DROP TABLE patterns; --",
    "a path": "../../../../etc/passwd",
    "a formula": '=HYPERLINK("https://shop.example","x")',
    "a line of a header": "x\r\nSet-Cookie: a=b",
}


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(database_url=f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}", rate=100_000, burst=100_000)


@pytest.fixture
def client(settings: Settings) -> Iterator[Client]:
    with signed_in(settings, ShopSolver()) as started:
        yield started


@pytest.fixture
def pattern(client: Client) -> dict[str, Any]:
    stored: dict[str, Any] = client.post("/patterns", json={"document": pattern_document()}).json()
    return stored


def _address(path: str) -> str:
    for part in [part[1:-1] for part in path.split("/") if part.startswith("{")]:
        path = path.replace(f"{{{part}}}", NAMES.get(part, "side" if part == "seam" else NO_PATTERN))
    return path


def _properties(operation: dict[str, Any]) -> dict[str, Any]:
    schema = operation["requestBody"]["content"]["application/json"]["schema"]
    while "$ref" in schema:
        schema = DESCRIBED["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    return dict(schema.get("properties", {}))


# API3:2023 Broken object property level authorization


@pytest.mark.parametrize("name", WITH_BODY)
def test_no_body_takes_a_property_that_is_not_described(client: Client, name: str) -> None:
    method, path, operation = OPERATIONS[name]
    for smuggled in ("workshop", "workshop_id", "id", "scopes", "price", "state", "created_at", "__proto__"):
        if smuggled in _properties(operation):
            continue
        answer = client.request(method.upper(), _address(path), json={smuggled: "x"})
        assert answer.status_code == 422, answer.text
        assert smuggled in json.dumps(answer.json()["faults"])


def test_who_orders_cannot_name_a_price_or_a_state(client: Client, pattern: dict[str, Any]) -> None:
    quote = quoted(client, pattern)
    for smuggled in ({"price": {"total": 1}}, {"state": "sent"}, {"valid_until": "2999-01-01T00:00:00Z"}):
        assert place(client, quote, **smuggled).status_code == 422
    order = place(client, quote).json()
    assert (order["state"], order["quote"]["price"]["total"]) == ("placed", 1000)


# API4:2023 Unrestricted resource consumption


@pytest.mark.parametrize("name", sorted(OPERATIONS))
def test_every_list_and_every_text_that_is_sent_has_a_bound(name: str) -> None:
    unbounded = list(_unbounded(OPERATIONS[name][2], name))
    assert unbounded == []


def _unbounded(operation: dict[str, Any], name: str) -> Iterator[str]:
    """Parameters that are texts or numbers without a bound; bodies are bounded as a whole, by bytes, values, levels."""
    for parameter in operation.get("parameters", []):
        schema = parameter["schema"]
        for each in schema.get("anyOf", schema.get("oneOf", [schema])):
            kind = each.get("type")
            bounds = {
                "string": {"maxLength", "pattern", "enum", "const"},
                "integer": {"maximum"},
                "number": {"maximum"},
            }
            if kind in bounds and parameter["in"] != "header" and not bounds[kind] & each.keys():
                yield f"{name}: {parameter['name']}"


# API7:2023 Server side request forgery: tests/notifying; here: nothing else of the server asks a host.


def test_an_address_in_a_document_is_asked_by_nobody(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []

    def connect(*arguments: object, **_: object) -> None:
        asked.append(arguments)
        raise OSError

    monkeypatch.setattr("asyncio.base_events.BaseEventLoop.create_connection", connect)
    monkeypatch.setattr("socket.create_connection", connect)
    document = {
        **pattern_document(),
        "says": "http://169.254.169.254/latest/meta-data",
        "licence": "file:///etc/passwd",
    }
    assert client.post("/patterns", json={"document": document}).status_code == 201
    assert asked == []


# API8:2023 Security misconfiguration


def test_every_answer_whatever_it_is_has_the_careful_headers_and_tells_nothing_of_the_inside(client: Client) -> None:
    for name, (method, path, _) in sorted(OPERATIONS.items()):
        for body in (None, {}, [], "x"):
            answer = client.request(method.upper(), _address(path), json=body)
            assert answer.status_code != 500, (name, body, answer.text)
            assert answer.headers["x-content-type-options"] == "nosniff"
            assert "default-src 'none'" in answer.headers["content-security-policy"] or name == "readInterface"
            assert "server" not in answer.headers
            assert "x-powered-by" not in answer.headers
            assert "access-control-allow-origin" not in answer.headers
            if answer.status_code >= 400:
                assert answer.headers["content-type"] == "application/problem+json"
                assert not any(trace in answer.text for trace in TRACES), answer.text


@pytest.mark.parametrize("says", PAYLOADS.values(), ids=PAYLOADS)
def test_what_is_written_anywhere_comes_back_as_it_was_and_does_nothing(
    client: Client, pattern: dict[str, Any], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    document = {**pattern_document(), "says": says, "materials": {"main": {"says": says}}}
    stored = client.post("/patterns", json={"document": document}).json()
    address = f"/patterns/{stored['id']}/revisions/{stored['head']}"
    assert client.get(address).json()["document"] == document
    order = place(client, quoted(client, pattern), notes=says, customer={"name": says}).json()
    found = client.get(f"/orders/{order['id']}")
    assert found.json()["history"][0]["says"] == says
    assert found.json()["customer"]["name"] == says
    assert "set-cookie" not in found.headers
    assert not list(tmp_path.rglob("owned"))
    assert client.get("/patterns").status_code == 200


def test_a_name_in_an_address_is_no_statement_and_no_path(client: Client, pattern: dict[str, Any]) -> None:
    for name in ("' OR 1=1 --", "%27%20OR%201=1", "..%2f..%2fetc%2fpasswd", "%00", "x" * 5000, "{{7*7}}"):
        assert client.get(f"/patterns/{name}").status_code in (404, 422)
    assert client.get("/patterns").json()["total"] == 1


# API9:2023 Improper inventory management


def test_every_address_that_answers_is_described_and_every_one_described_answers(client: Client) -> None:
    served = {
        str(handler.operation_id)
        for route in client.app.routes
        for handler in getattr(route, "route_handlers", ())
        if isinstance(handler, HTTPRouteHandler) and handler.operation_id is not None
    }
    assert served == set(OPERATIONS)


def test_only_these_operations_need_no_key() -> None:
    assert {name for name, (*_, operation) in OPERATIONS.items() if operation.get("security") == []} == OPEN


# API5:2023 Broken function level authorization: the whole matrix of scopes and operations


@pytest.mark.parametrize("scope", ["read", "order", "design", "keys"])
def test_a_key_reaches_exactly_the_operations_that_its_scope_is_described_for(
    client: Client, settings: Settings, scope: str
) -> None:
    key = new_key(settings, scope)
    for name, (method, path, operation) in sorted(OPERATIONS.items()):
        if name in OPEN:
            continue
        wanted = operation["security"][0]["key"]
        answer = client.request(method.upper(), _address(path), json={}, headers=key)
        let_in = answer.status_code != 403
        assert let_in == _reaches(scope, wanted, method), (name, answer.status_code, wanted)


def _reaches(scope: str, wanted: list[str], method: str) -> bool:
    """As the description of the scheme says: design has all of order and read; read may GET what order may."""
    if not wanted or scope in wanted:
        return True
    return (scope == "design" and wanted[0] in ("order", "read")) or (
        scope == "read" and wanted[0] == "order" and method == "get"
    )


# API6:2023 Unrestricted access to sensitive business flows


def test_a_form_cannot_order_more_than_was_quoted_or_a_quote_twice(client: Client, pattern: dict[str, Any]) -> None:
    quote = quoted(client, pattern)
    assert place(client, quote).status_code == 201
    for number in range(20):
        again = place(client, quote, f"another-key-0000-{number:04d}")
        assert (again.status_code, again.json()["type"]) == (409, "/problems/quote-ordered")
    assert len(client.get("/orders").json()["items"]) == 1


def test_the_description_is_not_changed_by_reading_it() -> None:
    before = copy.deepcopy(DESCRIBED)
    assert interface_description(CONTROLLERS) == before
