"""Starts the API for the demo on a free port, waits until it answers, and always stops it."""

from __future__ import annotations

import contextlib
import http.client
import os
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from demo_requests.client import Client, Refused
from demo_requests.environment import ROOT

DATABASE = "sizewright.db"
HOST = "127.0.0.1"
START_SECONDS = 60.0
STOP_SECONDS = 10.0
ATTEMPTS = 3


class ServerStartError(Exception):
    """The API did not come up; the text quotes the end of its log."""


@contextlib.contextmanager
def running(wanted_port: int, log: Path) -> Iterator[Client]:
    """The API on its embedded database in a folder that is gone afterwards; its output goes to `log`.

    When the wanted port is taken another one is used, and that is said. The server is stopped however the
    block ends.
    """
    with tempfile.TemporaryDirectory(prefix="sizewright-") as folder, log.open("wb") as output:
        process, client = _started(wanted_port, Path(folder), output.fileno(), log)
        try:
            yield client
        finally:
            stop(process)


def free_port(wanted: int) -> int:
    """The wanted port when nobody listens there, otherwise one that the system picks."""
    try:
        return _bindable(wanted)
    except OSError:
        chosen = _bindable(0)
        print(f"Port {wanted} is taken; using {chosen}.", flush=True)
        return chosen


def key_file(folder: Path) -> Path:
    """Where the API writes the first key to an empty database: beside it."""
    return (folder / DATABASE).with_suffix(".key")


def stop(process: subprocess.Popen[bytes]) -> None:
    """Ends the server and whatever it started: first politely, then surely."""
    if process.poll() is None:
        process.terminate()
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(STOP_SECONDS)
    if os.name == "nt":
        process.kill()
    else:
        # The server leads a group of its own, so workers that outlive it are reached too.
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def _started(wanted: int, folder: Path, output: int, log: Path) -> tuple[subprocess.Popen[bytes], Client]:
    for _ in range(ATTEMPTS):
        port = free_port(wanted)
        process = _launch(port, folder, output)
        client = Client(f"http://{HOST}:{port}")
        try:
            if _answers(process, client):
                return process, replace(client, key_file=key_file(folder))
        except BaseException:
            stop(process)
            raise
        stop(process)
        if not _taken(port):
            break
    tail = log.read_text(encoding="utf-8", errors="replace")[-2000:]
    raise ServerStartError(f"The API did not start. The end of its log, {log}:\n{tail}")


def _launch(port: int, folder: Path, output: int) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "api.command", "serve", "--host", HOST, "--port", str(port)]
    surroundings = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    surroundings |= {
        "DATABASE_URL": f"sqlite+aiosqlite:///{folder / DATABASE}",
        "PYTHONUNBUFFERED": "1",
    }
    return subprocess.Popen(
        command,
        cwd=ROOT,
        env=surroundings,
        stdin=subprocess.DEVNULL,
        stdout=output,
        stderr=output,
        start_new_session=os.name != "nt",
    )


def _answers(process: subprocess.Popen[bytes], client: Client) -> bool:
    deadline = time.monotonic() + START_SECONDS
    while process.poll() is None and time.monotonic() < deadline:
        with contextlib.suppress(OSError, http.client.HTTPException, Refused):
            client.get("/health")
            return True
        time.sleep(0.1)
    return False


def _bindable(port: int) -> int:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name != "nt":
            # As servers do: a port is not taken because a connection of the last run is still fading away.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind((HOST, port))
        probe.listen(1)
        return int(probe.getsockname()[1])


def _taken(port: int) -> bool:
    try:
        return _bindable(port) != port
    except OSError:
        return True
