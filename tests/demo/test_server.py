"""The demo's server: another port when the wanted one is taken, and nothing left running."""

from __future__ import annotations

import socket
import subprocess
import sys

import psutil
import pytest

from demo_requests.server import HOST, free_port, stop

PARENT = (
    "import subprocess, sys, time; child = subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(60)']); "
    "print(child.pid, flush=True); time.sleep(60)"
)


def test_a_free_port_is_taken_as_wanted(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server((HOST, 0)) as taken:
        port = taken.getsockname()[1]
    assert free_port(port) == port
    assert capsys.readouterr().out == ""


def test_another_port_is_used_and_told_when_the_wanted_one_is_taken(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server((HOST, 0)) as taken:
        port = taken.getsockname()[1]
        chosen = free_port(port)
    assert chosen != port
    assert capsys.readouterr().out == f"Port {port} is taken; using {chosen}.\n"


def test_stopping_ends_the_server_and_what_it_started() -> None:
    process = subprocess.Popen([sys.executable, "-c", PARENT], stdout=subprocess.PIPE, start_new_session=True)
    assert process.stdout is not None
    child = psutil.Process(int(process.stdout.readline()))
    stop(process)
    process.stdout.close()
    assert process.returncode is not None
    psutil.wait_procs([child], timeout=10)
    assert not child.is_running() or child.status() == psutil.STATUS_ZOMBIE
