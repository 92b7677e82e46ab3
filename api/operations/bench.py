"""What every operation works with: the storage, the workers, whose workshop it is, and its jobs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from api.jobs.executor import Solver as Solver
from api.operations.keeper import JobKeeper
from api.storage.database import Database

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
