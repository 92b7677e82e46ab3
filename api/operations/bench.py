"""What every operation works with: the storage, the workers, and whose workshop it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

from api.storage.database import Database


class Solver(Protocol):
    """Runs the tasks of `api.jobs.tasks` somewhere else than here."""

    async def run(self, task: str, **arguments: Any) -> Any:
        """The task's value; raises what `api.jobs.pool` defines."""


@dataclass(frozen=True)
class Bench:
    """The storage, the workers and the workshop of one request."""

    database: Database
    solver: Solver
    workshop: str
