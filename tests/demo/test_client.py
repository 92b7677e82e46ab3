"""The demo's HTTP client: JSON in and out, and refusals that name the remedy."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from demo_requests.client import CSV, Client, Refused

FAULT = {"path": "pieces.front.outline", "problem": "no height", "remedy": "give a height"}


class Echo(BaseHTTPRequestHandler):
    """Answers with what it was asked; refuses what lies under /refused and breaks under /broken."""

    def do_GET(self) -> None:
        if self.path == "/refused":
            self.answer(422, {"title": "The pattern has faults", "detail": "1 fault.", "faults": [FAULT]})
        elif self.path == "/broken":
            self.answer(502, None)
        else:
            self.answer(200, {"accept": self.headers["Accept"], "key": self.headers["Authorization"]})

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.answer(201, {"type": self.headers["Content-Type"], "got": json.loads(body)})

    def answer(self, status: int, content: Any) -> None:
        body = b"<html>bad gateway" if content is None else json.dumps(content).encode()
        self.send_response(status)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Location", "/grades/1")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002
        pass


@pytest.fixture
def client() -> Iterator[Client]:
    with ThreadingHTTPServer(("127.0.0.1", 0), Echo) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield Client(f"http://127.0.0.1:{server.server_port}")
        server.shutdown()
        thread.join()


def test_content_goes_out_as_json_and_headers_come_back(client: Client) -> None:
    answer = client.post("/patterns", {"document": {"name": "märket"}})
    assert answer.status == 201
    assert answer.json() == {"type": "application/json", "got": {"document": {"name": "märket"}}}
    assert answer.headers["location"] == "/grades/1"


def test_the_format_asked_for_is_named(client: Client) -> None:
    assert client.get("/x", accept=CSV).json()["accept"].startswith("text/csv")


def test_the_key_in_a_file_goes_out_with_every_request(client: Client, tmp_path: Path) -> None:
    assert client.get("/x").json()["key"] is None
    (tmp_path / "x.key").write_text("sw_key\n")
    assert replace(client, key_file=tmp_path / "x.key").get("/x").json()["key"] == "Bearer sw_key"


def test_a_refusal_tells_each_fault_with_its_remedy(client: Client) -> None:
    with pytest.raises(Refused) as caught:
        client.get("/refused")
    assert caught.value.status == 422
    assert caught.value.problem["faults"] == [FAULT]
    assert "pieces.front.outline: no height: give a height" in str(caught.value)


def test_a_refusal_that_is_not_json_is_still_told(client: Client) -> None:
    with pytest.raises(Refused, match="bad gateway"):
        client.get("/broken")
