"""Clients that send or read slowly, or leave in the middle: others are served, and nothing of theirs is kept."""

from __future__ import annotations

import asyncio
import contextlib
import json
import socket
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from api.settings import Settings
from tests.api.shop import ShopSolver
from tests.api.support import authorization, pattern_document, signed_in
from tests.faults.server import Served, served

SLOW = 40
"""Clients of each kind at once."""
LARGE = {"format": 1, "name": "Large", "says": "x" * 2_000_000, "pieces": {"panel": {}}}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("slow")) as started:
        yield started


def _connected(server: Served, stack: contextlib.ExitStack) -> socket.socket:
    return stack.enter_context(socket.create_connection(("127.0.0.1", server.port), 60))


def _request(server: Served, body: dict[str, Any]) -> bytes:
    content = json.dumps(body).encode()
    head = (
        f"POST /patterns HTTP/1.1\r\nHost: x\r\nAuthorization: {server.authorization}\r\n"
        f"Content-Type: application/json\r\nContent-Length: {len(content)}\r\n\r\n"
    )
    return head.encode() + content


def _count(server: Served) -> int:
    listed = server.ask("GET", "/patterns?limit=1")
    assert listed.status == 200
    return int(listed.json()["total"])


def test_clients_that_send_byte_by_byte_are_served_and_hold_nobody_up(server: Served) -> None:
    before = _count(server)
    with contextlib.ExitStack() as stack:
        slow = [
            (_connected(server, stack), _request(server, {"document": pattern_document(f"S {n}")})) for n in range(SLOW)
        ]
        longest = max(len(request) for _, request in slow)
        for at in range(longest):
            for connection, request in slow:
                connection.sendall(request[at : at + 1])
            if at % 40 == 0:
                assert server.ask("GET", "/health").status == 200
                assert _count(server) >= before
        assert [connection.recv(12) for connection, _ in slow] == [b"HTTP/1.1 201"] * SLOW
    assert _count(server) == before + SLOW


def test_of_a_client_that_leaves_in_the_middle_nothing_is_kept(server: Served) -> None:
    before = _count(server)
    request = _request(server, {"document": pattern_document("Left")})
    for part in (1, 30, request.index(b"\r\n\r\n") + 4, len(request) // 2, len(request) - 1):
        with contextlib.ExitStack() as stack:
            _connected(server, stack).sendall(request[:part])
    assert _count(server) == before


def test_a_body_that_does_not_come_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("api.request.BODY_SECONDS", 0.05)
    settings = Settings(database_url=f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}")
    sent: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        await asyncio.sleep(3600)
        return {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        sent.append(dict(message))

    with signed_in(settings, ShopSolver()) as client:
        headers = {**authorization(settings), "Content-Type": "application/json", "Content-Length": "100"}
        scope = {
            **{"type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "POST", "scheme": "http"},
            **{"path": "/patterns", "raw_path": b"/patterns", "query_string": b"", "root_path": "", "state": {}},
            **{"headers": [(name.lower().encode(), text.encode()) for name, text in headers.items()]},
            **{"client": ("127.0.0.1", 1), "server": ("127.0.0.1", 2)},
        }
        with client.portal() as portal:
            portal.call(client.app, scope, receive, send)
    assert sent[0]["status"] == 400
    assert json.loads(sent[1]["body"])["type"] == "/problems/unreadable-body"


def test_clients_that_do_not_read_hold_nobody_up(server: Served) -> None:
    stored = server.ask("POST", "/patterns", {"document": LARGE}).json()
    asked = (
        f"GET /patterns/{stored['id']}/revisions/{stored['head']} HTTP/1.1\r\nHost: x\r\n"
        f"Authorization: {server.authorization}\r\nConnection: close\r\n\r\n"
    ).encode()
    with contextlib.ExitStack() as stack:
        waiting = [_connected(server, stack) for _ in range(SLOW)]
        for connection in waiting:
            connection.sendall(asked)
        for _ in range(20):
            assert server.ask("GET", "/health").status == 200
            assert server.ask("GET", f"/patterns/{stored['id']}").status == 200
        answer = b"".join(iter(lambda: waiting[-1].recv(65536), b""))
    assert json.loads(answer.partition(b"\r\n\r\n")[2])["document"] == LARGE


def test_who_leaves_while_an_order_is_placed_finds_it_placed_once_or_not_at_all(server: Served) -> None:
    stored = server.ask("POST", "/patterns", {"document": pattern_document("Order")}).json()
    address = f"/patterns/{stored['id']}/revisions/{stored['head']}/quotes"
    quote = server.ask("POST", address, {"size": "mini"}).json()
    body, key = json.dumps({"quote": quote["id"]}).encode(), "left-while-it-was-placed"
    head = (
        f"POST /orders HTTP/1.1\r\nHost: x\r\nAuthorization: {server.authorization}\r\nIdempotency-Key: {key}\r\n"
        f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    ).encode()

    def leave() -> None:
        with contextlib.ExitStack() as stack:
            _connected(server, stack).sendall(head + body)

    leaving = [threading.Thread(target=leave) for _ in range(8)]
    for thread in leaving:
        thread.start()
    for thread in leaving:
        thread.join()
    answers = [server.ask("POST", "/orders", {"quote": quote["id"]}, Idempotency_Key=key) for _ in range(2)]
    assert [answer.status for answer in answers] == [201, 201]
    assert answers[0].content == answers[1].content
    placed = [order for order in server.ask("GET", "/orders").json()["items"] if order["quote"]["id"] == quote["id"]]
    assert len(placed) == 1
