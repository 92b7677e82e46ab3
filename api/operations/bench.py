"""What every operation works with: the storage, the workers, whose workshop it is, and its jobs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Protocol

from api.operations.keeper import JobKeeper
from api.storage.database import Database


class Solver(Protocol):
    """Runs the tasks of `api.jobs.tasks` somewhere else than here."""

    async def run(self, task: str, **arguments: Any) -> Any:
        """The task's value; raises what `api.jobs.pool` defines."""

    async def run_long(
        self, task: str, begun: Callable[[], None], heard: Callable[[Any], None], **arguments: Any
    ) -> Any:
        """The same for a task that may outlast a request: `begun` is told its start, `heard` its progress."""


NOBODY = ""
"""The workshop of a request that nobody has signed: it has nothing."""


@dataclass(frozen=True)
class Bench:
    """The storage, the workers, the workshop and the jobs in hand of one request."""

    database: Database
    solver: Solver
    workshop: str
    jobs: JobKeeper

    def of(self, workshop: str) -> Bench:
        """The same storage, workers and jobs for another workshop."""
        return replace(self, workshop=workshop)
