"""Whether the server can do its work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.operations.errors import Fault, OperationError
from api.storage.database import DatabaseUnavailable

if TYPE_CHECKING:
    from api.jobs.executor import Executor
    from api.storage.database import Database


class NotReady(OperationError):
    """Something that the server works with is missing; `faults` tells what."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__(" ".join(f"{fault.path.title()}: {fault.problem}." for fault in faults))


async def ensure(database: Database, executor: Executor) -> None:
    """Raises NotReady unless the database answers, has every migration, and workers are there or can be started."""
    faults = [fault for fault in (await _of_database(database), await _of_workers(executor)) if fault is not None]
    if faults:
        raise NotReady(tuple(faults))


async def _of_database(database: Database) -> Fault | None:
    try:
        newest = await database.is_newest()
    except (DatabaseUnavailable, OSError):
        return Fault("database", "it does not answer", "look whether it runs, and whether DATABASE_URL leads to it")
    if newest:
        return None
    return Fault("migrations", "the tables are of another version", "start the server anew, in the newest version")


async def _of_workers(executor: Executor) -> Fault | None:
    if await executor.ready():
        return None
    return Fault("workers", "none is there, and none can be started", "look into the log, and for free memory")
