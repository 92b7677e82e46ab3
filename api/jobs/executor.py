"""What runs tasks away from the server: one interface, whatever stands behind it, and how it fails."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol


class QueueFull(Exception):
    """As many requests are waiting already as may."""


class OutOfTime(Exception):
    """The task was not done within its time."""


class WorkerFailed(Exception):
    """The worker ended or went wrong; the text is for the log, not for the answer."""


class NoWorkers(Exception):
    """There is nobody to give a task to now; later there may be."""


class TaskRefused(Exception):
    """The task declined on purpose; `kind` and `content` say what."""

    def __init__(self, content: dict[str, Any]) -> None:
        self.kind = str(content.get("kind"))
        self.content = content
        super().__init__(self.kind)


@dataclass(frozen=True)
class Load:
    """Workers at work and at rest, and tasks that wait for one."""

    busy: int
    idle: int
    waiting: int


class Solver(Protocol):
    """Runs the tasks of `api.jobs.tasks` somewhere else than here."""

    async def run(self, task: str, **arguments: Any) -> Any:
        """The task's value; raises TaskRefused, QueueFull, OutOfTime, WorkerFailed and NoWorkers."""

    async def run_long(
        self, task: str, begun: Callable[[], None], heard: Callable[[Any], None], **arguments: Any
    ) -> Any:
        """The same for a task that may outlast a request: `begun` is told its start, `heard` its progress.

        Cancelling it ends the work. `begun` may be told more than once, where a worker was lost and another took over.
        """


class Executor(Solver, Protocol):
    """A solver with its own workers, which are looked after by the server."""

    async def warm(self) -> None:
        """Prepares workers for what takes long to load; gives up quietly."""

    async def ready(self) -> bool:
        """Whether a task would find a worker, which may have to be started first."""

    async def close(self) -> None:
        """Ends the work in hand and every worker that is its own."""

    def load(self) -> Load:
        """How much there is to do just now."""


def value_of(answer: dict[str, Any]) -> Any:
    """What a worker's answer, in the words of `api.jobs.messages`, gives; raises TaskRefused and WorkerFailed."""
    if "refused" in answer:
        raise TaskRefused(answer["refused"])
    if "failed" in answer:
        raise WorkerFailed(str(answer["failed"]))
    return answer.get("done")
