"""A server in a process of its own, for faults: application and storage as ever, calculations answered at once.

`python -m tests.faults.server` serves by the settings of the environment.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
SCRIPTED = (sys.executable, "-m", "tests.faults.server")
REAL = (sys.executable, "-m", "api.command", "serve")
LONGEST_START = 60.0
ANSWER_SECONDS = 60.0
OFTEN = "1000000"
"""Requests a minute: more than are sent."""
QUIET = {"SIZEWRIGHT_RATE": OFTEN, "SIZEWRIGHT_LOG": "error", "PYTHONPATH": str(ROOT)}
KEY_FILE = "sizewright.key"


@dataclass(frozen=True)
class Answer:
    """A status, the headers by their names in small letters, and the content."""

    status: int
    headers: Mapping[str, str]
    content: bytes

    def json(self) -> Any:
        """The content read as JSON."""
        return json.loads(self.content)


@dataclass
class Served:
    """A server that answers at a port of this machine, and the header with its first key."""

    process: subprocess.Popen[bytes]
    port: int
    authorization: str

    def connect(self) -> http.client.HTTPConnection:
        """A connection that may be kept."""
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=ANSWER_SECONDS)

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> Answer:
        """What is answered to one request by a connection of its own."""
        with contextlib.closing(self.connect()) as connection:
            return self.asked(connection, method, path, body, **headers)

    def asked(
        self, connection: http.client.HTTPConnection, method: str, path: str, body: Any = None, **headers: str
    ) -> Answer:
        """The same by a connection that is there; the body is sent as JSON."""
        sent = {"Authorization": self.authorization, **{name.replace("_", "-"): text for name, text in headers.items()}}
        content = None if body is None else json.dumps(body).encode()
        if content is not None:
            sent["Content-Type"] = "application/json"
        connection.request(method, path, content, sent)
        response = connection.getresponse()
        return Answer(response.status, {k.lower(): v for k, v in response.getheaders()}, response.read())

    def kill(self) -> None:
        """Has the system end it at once: nothing of it runs any more."""
        self.process.kill()
        self.process.wait(LONGEST_START)

    def stop(self) -> None:
        """Tells it to stop, and waits for its end."""
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(LONGEST_START)
            except subprocess.TimeoutExpired:
                self.kill()


def sqlite_in(folder: Path) -> str:
    """The address of a database in this folder, whose key lies in the same file as that of other kinds."""
    return f"sqlite+aiosqlite:///{folder / 'sizewright.db'}"


@contextlib.contextmanager
def served(
    folder: Path, url: str | None = None, *, command: tuple[str, ...] = SCRIPTED, **settings: str
) -> Iterator[Served]:
    """A server that has started, whose key lies in this folder; it is stopped in the end if it still runs."""
    port = free_port()
    surroundings = {
        **os.environ,
        **QUIET,
        "DATABASE_URL": url or sqlite_in(folder),
        "SIZEWRIGHT_PORT": str(port),
        **settings,
    }
    process = subprocess.Popen(command, cwd=folder, env=surroundings, stdout=subprocess.DEVNULL)
    server = Served(process, port, "")
    try:
        wait_for(server)
        server.authorization = f"Bearer {(folder / KEY_FILE).read_text().strip()}"
        yield server
    finally:
        server.stop()


def free_port() -> int:
    """A port at which nobody listens just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_for(server: Served) -> None:
    until = time.monotonic() + LONGEST_START
    while time.monotonic() < until and server.process.poll() is None:
        with contextlib.suppress(OSError, http.client.HTTPException):
            if server.ask("GET", "/health").status == 200:
                return
        time.sleep(0.02)
    raise RuntimeError(f"The server did not start; it ended with {server.process.poll()}.")


def main() -> None:
    """Serves until told to stop."""
    from api import server
    from api.app import create_app
    from api.settings import Settings
    from tests.api.shop import ShopSolver

    server.create_app = lambda settings: create_app(settings, solver=ShopSolver())  # type: ignore[assignment,misc]
    server.serve(Settings.from_environment())


if __name__ == "__main__":
    main()
