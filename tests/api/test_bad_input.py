from __future__ import annotations

import json
from typing import Any

import pytest

from tests.api.conftest import Client
from tests.api.support import ScriptedSolver, pattern_document

JSON = {"Content-Type": "application/json"}
ADDRESSES = ("/patterns", "/checks", "/verifications")


def _problem(answer: Any, status: int) -> dict[str, Any]:
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    problem: dict[str, Any] = answer.json()
    assert {"type", "title", "status", "detail"} <= problem.keys()
    assert problem["status"] == status
    return problem


@pytest.fixture(autouse=True)
def _nothing_stored(client: Client, solver: ScriptedSolver) -> Any:
    yield
    assert client.get("/patterns").json()["total"] == 0


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"   ",
        b"{",
        b'{"document": {"name": "\xff"}}',
        b'{"document": NaN}',
        b'{"document": -Infinity}',
        b"\xfe\xff",
    ],
)
def test_a_body_that_is_no_json(client: Client, address: str, body: bytes) -> None:
    _problem(client.post(address, content=body, headers=JSON), 400)


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize("depth", [41, 1000, 200_000])
def test_very_deep_json(client: Client, address: str, depth: int, solver: ScriptedSolver) -> None:
    body = b'{"document": ' + b"[" * depth + b"]" * depth + b"}"
    problem = _problem(client.post(address, content=body, headers=JSON), 422)
    assert "40" in problem["faults"][0]["problem"]
    assert not solver.asked


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ('{"document": {"name": "a\\u0000b"}}', "document.name"),
        ('{"document": {"a\\u0000b": 1}}', "document"),
        ('{"document": {"name": "\\ud800"}}', "document.name"),
        ('{"document": {"pieces": [1, {"x": 1, "x": 2}]}}', "document.pieces.1"),
        ('{"document": {"dimensions": {"width": 12345678901234567890}}}', "document.dimensions.width"),
        ('{"document": {"dimensions": {"width": 0.12345678901234567890}}}', "document.dimensions.width"),
        ('{"document": {"dimensions": {"width": 1e999}}}', "document.dimensions.width"),
        ('{"document": {"dimensions": {"width": 1e-999}}}', "document.dimensions.width"),
        ('{"document": {"dimensions": {"width": ' + "9" * 5000 + "}}}", "document.dimensions.width"),
    ],
)
def test_content_that_cannot_be_taken_is_named(client: Client, text: str, path: str, solver: ScriptedSolver) -> None:
    problem = _problem(client.post("/patterns", content=text.encode(), headers=JSON), 422)
    assert problem["faults"][0]["path"] == path
    assert problem["faults"][0]["remedy"]
    assert not solver.asked


def test_a_body_of_eleven_megabytes(client: Client) -> None:
    body = b'{"document": {"name": "' + b"x" * (11 * 1024 * 1024) + b'"}}'
    _problem(client.post("/patterns", content=body, headers=JSON), 413)


def test_a_body_of_eleven_megabytes_that_does_not_say_so(client: Client) -> None:
    parts = (b"x" * 1024 * 1024 for _ in range(11))
    _problem(client.post("/patterns", content=parts, headers=JSON), 413)


def test_a_body_of_very_many_values(client: Client) -> None:
    body = b'{"document": [' + b"[]," * 600_000 + b"1]}"
    _problem(client.post("/patterns", content=body, headers=JSON), 422)


@pytest.mark.parametrize(
    "headers",
    [
        {"Content-Type": "text/plain"},
        {"Content-Type": "application/msgpack"},
        {"Content-Type": "multipart/form-data; boundary=x"},
        {"Content-Type": "application/x-www-form-urlencoded"},
        {"Content-Type": "application/json; charset=utf-16"},
        {"Content-Type": "application/json", "Content-Encoding": "gzip"},
        {},
    ],
)
@pytest.mark.parametrize("address", ADDRESSES)
def test_a_body_that_is_not_announced_as_json(client: Client, address: str, headers: dict[str, str]) -> None:
    body = json.dumps({"document": pattern_document()}).encode()
    _problem(client.post(address, content=body, headers=headers), 415)


@pytest.mark.parametrize(
    "body",
    [
        [],
        "text",
        None,
        {},
        {"document": []},
        {"document": None},
        {"document": "text"},
        {"document": {}, "extra": 1},
    ],
)
@pytest.mark.parametrize("address", ADDRESSES)
def test_an_envelope_of_another_shape(client: Client, address: str, body: Any) -> None:
    problem = _problem(client.post(address, content=json.dumps(body), headers=JSON), 422)
    assert problem["faults"]
    assert all(fault["path"] and fault["problem"] and fault["remedy"] for fault in problem["faults"])


@pytest.mark.parametrize(
    "query",
    [
        "limit=0",
        "limit=101",
        "limit=x",
        "limit=-1",
        "offset=-1",
        "offset=1000001",
        "limit=1e1",
        "limit=",
        "limit=%C2%B2",
    ],
)
def test_pages_have_bounds(client: Client, query: str) -> None:
    problem = _problem(client.get(f"/patterns?{query}"), 422)
    assert problem["faults"][0]["path"] == f"query.{query.partition('=')[0]}"


@pytest.mark.parametrize("query", ["limit=1&limit=2", "limits=5", "x%00=1", "%ff=1", "limit=" + "9" * 5000])
def test_parameters_of_the_address_are_known_and_given_once(client: Client, query: str) -> None:
    _problem(client.get(f"/patterns?{query}"), 422)


@pytest.mark.parametrize(
    "name",
    [
        "x",
        "%00",
        "%FF",
        "..%2F..%2Fetc",
        "'%20OR%201=1",
        "a" * 3000,
        "%F0%9F%A7%B5",
        "4B2F0A9E-6C1D-4F0E-9A57-0D3C5F1B7A26",
    ],
)
@pytest.mark.parametrize(
    "address", ["/patterns/{}", "/patterns/{}/revisions", "/grades/{}", "/grades/{}/proof", "/problems/{}"]
)
def test_names_with_odd_characters_are_not_found(client: Client, address: str, name: str) -> None:
    _problem(client.get(address.format(name)), 404)


def test_an_address_that_does_not_exist(client: Client) -> None:
    for address in ("/nothing", "/patterns/x/y/z", "/schema", "/docs", "/reference/static/none.js"):
        assert _problem(client.get(address), 404)["type"] == "/problems/not-found"


def test_files_beside_the_reference_are_out_of_reach(client: Client) -> None:
    for address in (
        "/reference/static/..%2freference.html",
        "/reference/static/../reference.py",
        "/reference/static/%2e%2e/__init__.py",
    ):
        assert client.get(address).status_code == 404


def test_a_method_that_does_not_work_names_those_that_do(client: Client) -> None:
    answer = client.delete("/patterns")
    _problem(answer, 405)
    assert answer.headers["allow"] == "GET, HEAD, OPTIONS, POST"


@pytest.mark.parametrize(
    ("address", "allowed"),
    [
        ("/patterns", "GET, HEAD, OPTIONS, POST"),
        ("/patterns/4b2f0a9e-6c1d-4f0e-9a57-0d3c5f1b7a26", "GET, HEAD, OPTIONS"),
        ("/patterns/4b2f0a9e-6c1d-4f0e-9a57-0d3c5f1b7a26/revisions", "GET, HEAD, OPTIONS, POST"),
        ("/checks", "OPTIONS, POST"),
        ("/health", "GET, HEAD, OPTIONS"),
        ("/reference", "GET, HEAD, OPTIONS"),
    ],
)
def test_options_lists_every_method(client: Client, address: str, allowed: str) -> None:
    answer = client.options(address)
    assert (answer.status_code, answer.content, answer.headers["allow"]) == (204, b"", allowed)


def test_head_is_get_without_its_content(client: Client) -> None:
    got, headed = client.get("/health"), client.head("/health")
    assert (headed.status_code, headed.content) == (200, b"")
    assert headed.headers["content-length"] == got.headers["content-length"]


def test_a_host_that_is_none(client: Client) -> None:
    _problem(client.get("/health", headers={"Host": "a b<c>"}), 400)
