"""A Dask cluster of one scheduler and worker processes, started as whoever runs one starts it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@dataclass
class LocalCluster:
    """Processes of this machine; `workers` are those that have been started, in their order."""

    folder: Path
    scheduler: subprocess.Popen[bytes] | None = None
    workers: list[subprocess.Popen[bytes]] = field(default_factory=list)

    @property
    def file(self) -> Path:
        return self.folder / "scheduler.json"

    @property
    def address(self) -> str:
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            if self.file.exists() and (text := self.file.read_text()):
                return str(json.loads(text)["address"])
            time.sleep(0.05)
        pytest.fail("The scheduler did not start.")

    def start_scheduler(self, port: int = 0) -> None:
        options = ["--host", "127.0.0.1", "--port", str(port), "--no-dashboard", "--scheduler-file", str(self.file)]
        self.scheduler = self._start("distributed.cli.dask_scheduler", *options)

    def start_worker(self) -> subprocess.Popen[bytes]:
        options = ["--nthreads", "1", "--no-nanny", "--no-dashboard", "--local-directory", str(self.folder)]
        worker = self._start("distributed.cli.dask_worker", self.address, *options)
        self.workers.append(worker)
        return worker

    def close(self) -> None:
        processes = [*self.workers, *([self.scheduler] if self.scheduler else [])]
        for process in processes:
            process.kill()
            process.wait(20)

    def _start(self, module: str, *options: str) -> subprocess.Popen[bytes]:
        surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
        log = (self.folder / f"{module}.{len(self.workers)}.log").open("wb")
        with log:
            return subprocess.Popen(
                [sys.executable, "-m", module, *options], cwd=self.folder, env=surroundings, stdout=log, stderr=log
            )


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[LocalCluster]:
    """A scheduler and two workers."""
    started = LocalCluster(tmp_path)
    try:
        started.start_scheduler()
        for _ in range(2):
            started.start_worker()
        yield started
    finally:
        started.close()
