from __future__ import annotations

import contextlib
import http.client
import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from api.settings import Settings
from tests.api.support import authorization, pattern_document

ROOT = Path(__file__).parents[2]
START = (
    "import sys; from api.server import serve; from api.settings import Settings; serve(Settings.from_environment())"
)


@pytest.fixture
def server(tmp_path: Path) -> Iterator[tuple[psutil.Process, int]]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    surroundings = {**os.environ, "DATABASE_URL": database(tmp_path), "SIZEWRIGHT_PORT": str(port)}
    process = subprocess.Popen([sys.executable, "-c", START], cwd=ROOT, env=surroundings)
    try:
        _wait(process, port)
        yield psutil.Process(process.pid), port
    finally:
        process.terminate()
        process.wait(20)


@pytest.fixture
def key(tmp_path: Path, server: object) -> str:
    return authorization(Settings(database_url=database(tmp_path)))["Authorization"]


def database(folder: Path) -> str:
    return f"sqlite:///{folder / 'x.db'}"


def _wait(process: subprocess.Popen[bytes], port: int) -> None:
    deadline = time.monotonic() + 30
    while time.monotonic() < deadline and process.poll() is None:
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
            return
        time.sleep(0.05)
    pytest.fail("The server did not start.")


def _ask(port: int, method: str, path: str, body: bytes | None = None, **headers: str) -> tuple[int, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    with contextlib.closing(connection):
        connection.request(method, path, body, {name.replace("_", "-"): value for name, value in headers.items()})
        response = connection.getresponse()
        return response.status, response.read()


def _raw(port: int, request: bytes) -> bytes:
    with socket.create_connection(("127.0.0.1", port), 30) as connection:
        connection.sendall(request)
        connection.settimeout(30)
        return connection.recv(65536)


def test_a_draft_is_checked_by_a_process_of_its_own_that_ends_with_the_server(
    server: tuple[psutil.Process, int], key: str
) -> None:
    process, port = server
    body = json.dumps({"document": pattern_document()}).encode()
    status, answer = _ask(port, "POST", "/checks", body, Content_Type="application/json", Authorization=key)
    assert status == 200
    assert not json.loads(answer)["sound"]
    workers = process.children(recursive=True)
    # One may still be loading the library for what comes next.
    assert 1 <= len(workers) <= 2
    process.terminate()
    process.wait(20)
    psutil.wait_procs(workers, timeout=20)
    assert not any(worker.is_running() for worker in workers)


def test_bytes_that_no_client_would_send(server: tuple[psutil.Process, int], key: str) -> None:
    _, port = server
    signed = f"Host: x\r\nAuthorization: {key}\r\n".encode()
    for request, status in (
        (b"GET /patterns/%ff%fe HTTP/1.1\r\nHost: x\r\n\r\n", b"404"),
        (b"GET /patterns?limit=%ff HTTP/1.1\r\nHost: x\r\n\r\n", b"422"),
        (b"GET /health HTTP/1.1\r\nHost: x\r\nIf-None-Match: \xff\xfe\r\n\r\n", b"200"),
        (b"GET /health HTTP/1.1\r\nHost: x\r\nAccept: \xff\r\n\r\n", b"200"),
        (b"GET /patterns HTTP/1.1\r\nHost: x\r\nAuthorization: \xff\r\n\r\n", b"401"),
        (b"GET //health HTTP/1.1\r\nHost: x\r\n\r\n", b"200"),
        (b"BREW /health HTTP/1.1\r\nHost: x\r\n\r\n", b"405"),
        (
            b"POST /checks HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 99999999\r\n\r\n",
            b"413",
        ),
        (b"POST /checks HTTP/1.1\r\nHost: x\r\nContent-Type: \xff\r\nContent-Length: 2\r\n\r\n{}", b"415"),
        (b"POST /checks HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\n\r\n{}", b"415"),
        (b"nonsense\r\n\r\n", b"400"),
    ):
        assert _raw(port, request.replace(b"Host: x\r\n", signed)).split(b" ", 2)[1] == status, request
    assert _ask(port, "GET", "/health")[0] == 200


def test_light_requests_are_answered_while_a_large_body_is_read(server: tuple[psutil.Process, int], key: str) -> None:
    _, port = server
    body = b'{"document": {"x": [' + b"1," * 400_000 + b"1]}}"
    with socket.create_connection(("127.0.0.1", port), 30) as connection:
        head = (
            f"POST /checks HTTP/1.1\r\nHost: x\r\nAuthorization: {key}\r\nContent-Type: application/json\r\n"
            f"Content-Length: {len(body)}\r\n\r\n"
        )
        connection.sendall(head.encode() + body)
        assert _ask(port, "GET", "/health")[0] == 200
        assert connection.recv(12) == b"HTTP/1.1 200"
