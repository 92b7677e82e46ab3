"""A disk that is full while the server writes: it says so, loses nothing, still reads, and goes on with more room."""

from __future__ import annotations

import contextlib
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.api.support import pattern_document
from tests.faults.server import Served, served, sqlite_in
from tests.faults.writers import Book, Findings, Writers, looked_through

MEGABYTE = 1024 * 1024
MOST_PATTERNS = 2000
FILLING = "x" * 20_000
"""A pattern with this in it soon fills what little room there is."""

if sys.platform == "linux":
    import resource


@contextlib.contextmanager
def small_disk(folder: Path) -> Iterator[Path]:
    """A file system of a few megabytes in memory; skips where none can be made."""
    folder.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", str(folder)], capture_output=True, text=True, check=False
    )
    if made.returncode:
        pytest.skip(f"no small file system can be made here: {made.stderr.strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)


def _grown(folder: Path) -> None:
    subprocess.run(["mount", "-o", "remount,size=64m", str(folder)], check=True)


def _filled(server: Served) -> None:
    """Stores patterns until one is refused, and sees that it is refused as it should be."""
    for number in range(MOST_PATTERNS):
        document = {"format": 1, "name": f"Number {number}", "says": FILLING, "dimensions": {}, "pieces": {"panel": {}}}
        answer = server.ask("POST", "/patterns", {"document": document})
        if answer.status != 201:
            assert (answer.status, answer.json()["type"]) == (503, "/problems/storage-unavailable")
            return
    pytest.fail("The disk was never full.")


def _goes_on(server: Served, folder: Path, make_full: Callable[[], None], make_room: Callable[[], None]) -> None:
    book, findings = Book(), Findings()
    writers = Writers(server, book, seed=3)
    make_full()
    writers.begin()
    _filled(server)
    assert server.ask("GET", "/patterns").status == 200
    writers.join()
    assert set(book.statuses) <= {200, 201, 503}
    make_room()
    looked_through(server, book, sqlite_in(folder), findings)
    assert server.ask("POST", "/patterns", {"document": pattern_document("After")}).status == 201
    assert findings.accepted > 0
    assert findings.faults == []


@pytest.mark.skipif(sys.platform != "linux" or os.geteuid() != 0, reason="only root may make a small file system")
def test_a_full_disk_loses_nothing_and_the_server_goes_on_when_there_is_room(tmp_path: Path) -> None:
    with small_disk(tmp_path / "small") as folder, served(folder) as server:
        _goes_on(server, folder, lambda: None, lambda: _grown(folder))


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux changes the bounds of a process that runs")
def test_a_file_that_may_not_grow_loses_nothing_and_the_server_goes_on_when_it_may(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        process = server.process.pid
        unbounded = resource.prlimit(process, resource.RLIMIT_FSIZE)

        def make_full() -> None:
            resource.prlimit(process, resource.RLIMIT_FSIZE, (2 * MEGABYTE, unbounded[1]))

        _goes_on(server, tmp_path, make_full, lambda: _set(process, unbounded))


def _set(process: int, bounds: tuple[int, int]) -> None:
    resource.prlimit(process, resource.RLIMIT_FSIZE, bounds)
