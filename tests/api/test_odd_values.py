"""Values that a database might choke on, at every address, on both kinds of database."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.api.conftest import Client

ODD = ("%00", "a%00b", "%FF", "%ED%A0%80", "9223372036854775808", "-1", "1e400", "%27", "%F0%9F%A7%B5", "x" * 300)
"""NUL, which PostgreSQL refuses; what is not UTF-8; integers that no column holds; quotes; letters; long texts."""
MANY = 10**18


@pytest.fixture
def addresses(client: Client) -> list[tuple[str, str, list[str]]]:
    """Every operation: its method, its path, and its words of a query."""
    paths: dict[str, Any] = json.loads(client.app.state.interface())["paths"]
    return [
        (method, path, [each["name"] for each in operation.get("parameters", []) if each.get("in") == "query"])
        for path, operations in paths.items()
        for method, operation in operations.items()
        if isinstance(operation, dict)
    ]


def _asked(client: Client, method: str, path: str) -> None:
    headers = {"Idempotency-Key": '"0123456789abcdef\x7f"', "If-Match": "*", "Prefer": "respond-async"}
    answer = client.request(method, path, json={} if method in ("post", "put", "patch") else None, headers=headers)
    assert answer.status_code < 500, (method, path, answer.text)


def test_no_value_in_a_path_breaks_anything(client: Client, addresses: list[tuple[str, str, list[str]]]) -> None:
    tried = 0
    for method, path, _ in addresses:
        for value in ODD if "{" in path else ():
            filled = path
            while "{" in filled:
                filled = filled[: filled.index("{")] + value + filled[filled.index("}") + 1 :]
            _asked(client, method, filled)
            tried += 1
    assert tried > 200


def test_no_value_in_a_query_breaks_anything(client: Client, addresses: list[tuple[str, str, list[str]]]) -> None:
    tried = 0
    for method, path, names in addresses:
        for name in names if "{" not in path else ():
            for value in (*ODD, str(MANY)):
                _asked(client, method, f"{path}?{name}={value}")
                tried += 1
    assert tried > 50


@pytest.mark.parametrize("field", ["says", "name", "notes"])
def test_nul_in_a_text_is_refused_before_the_database_sees_it(
    client: Client, addresses: list[tuple[str, str, list[str]]], field: str
) -> None:
    written = [path for method, path, _ in addresses if method == "post" and "{" not in path]
    assert written
    for path in written:
        answer = client.post(path, content=f'{{"{field}": "a\\u0000b"}}', headers={"Content-Type": "application/json"})
        assert 400 <= answer.status_code < 500, (path, answer.text)


def test_letters_of_all_kinds_come_back_as_they_were_sent(client: Client) -> None:
    name = "Öse ½ yd 布 🧵 e\u0301 \u202eright\u202c \u2028 ' \" \\ % _"
    answer = client.post("/patterns", json={"document": {"format": 1, "name": name, "pieces": {}, "dimensions": {}}})
    assert answer.status_code == 201
    assert client.get(f"/patterns/{answer.json()['id']}").json()["name"] == name
