"""Measures of a running server in Prometheus' text format, by operation, state and kind of task alone.

No label names a pattern, a job, a key or anybody. Names follow Prometheus' own advice on metrics: a prefix, base units,
`_total` for what only grows (https://prometheus.io/docs/practices/naming/).
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, Info, ProcessCollector, generate_latest

from api import VERSION
from api.jobs.executor import NoWorkers, OutOfTime, QueueFull, TaskRefused

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Mapping

    from api.jobs.executor import Load, Solver

CONTENT_TYPE = "text/plain; version=0.0.4"
REQUEST_BUCKETS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 60)
TASK_BUCKETS = (0.01, 0.05, 0.1, 0.5, 1, 2.5, 5, 10, 30, 60, 300, 600)
OUTCOMES: Mapping[type[BaseException], str] = {
    TaskRefused: "refused",
    QueueFull: "queue_full",
    OutOfTime: "out_of_time",
    NoWorkers: "no_workers",
}


class Metrics:
    """The measures of one server."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        ProcessCollector(registry=self.registry)
        Info("sizewright", "The version that runs.", registry=self.registry).info({"version": VERSION})
        self.requests = Counter(
            "sizewright_requests", "Requests answered.", ("operation", "status"), registry=self.registry
        )
        self.request_seconds = Histogram(
            "sizewright_request_seconds",
            "From the first byte of a request to the last of its answer.",
            ("operation",),
            buckets=REQUEST_BUCKETS,
            registry=self.registry,
        )
        self.requests_in_hand = Gauge(
            "sizewright_requests_in_hand", "Requests not yet answered.", registry=self.registry
        )
        self.tasks = Counter(
            "sizewright_tasks",
            "Tasks given to workers, by how they ended.",
            ("task", "outcome"),
            registry=self.registry,
        )
        self.task_seconds = Histogram(
            "sizewright_task_seconds",
            "From asking for a task to its answer, waiting included.",
            ("task",),
            buckets=TASK_BUCKETS,
            registry=self.registry,
        )
        self._waiting = Gauge("sizewright_tasks_waiting", "Tasks that wait for a worker.", registry=self.registry)
        self._workers = Gauge("sizewright_workers", "Workers, by what they do.", ("state",), registry=self.registry)
        self._jobs = Gauge("sizewright_jobs", "Jobs that are written down.", ("state",), registry=self.registry)

    def answered(self, operation: str, status: str, seconds: float) -> None:
        """Counts one request."""
        self.requests.labels(operation, status).inc()
        self.request_seconds.labels(operation).observe(seconds)

    def written(self, load: Load, jobs: Mapping[str, int]) -> bytes:
        """Everything as text, with the load of the workers and the jobs by state as they are now."""
        self._waiting.set(load.waiting)
        self._workers.labels("busy").set(load.busy)
        self._workers.labels("idle").set(load.idle)
        for state, count in jobs.items():
            self._jobs.labels(state).set(count)
        return generate_latest(self.registry)


class MeasuredSolver:
    """A solver whose tasks are counted and timed."""

    def __init__(self, solver: Solver, metrics: Metrics) -> None:
        self._solver, self._metrics = solver, metrics

    async def run(self, task: str, **arguments: Any) -> Any:
        """Runs a task as the solver does."""
        return await self._measured(task, self._solver.run(task, **arguments))

    async def run_long(
        self, task: str, begun: Callable[[], None], heard: Callable[[Any], None], **arguments: Any
    ) -> Any:
        """Runs a long task as the solver does."""
        return await self._measured(task, self._solver.run_long(task, begun, heard, **arguments))

    async def _measured(self, task: str, work: Awaitable[Any]) -> Any:
        begun, outcome = time.monotonic(), "cancelled"
        try:
            value = await work
        except Exception as error:
            outcome = OUTCOMES.get(type(error), "failed")
            raise
        else:
            outcome = "done"
            return value
        finally:
            self._metrics.tasks.labels(task, outcome).inc()
            self._metrics.task_seconds.labels(task).observe(time.monotonic() - begun)
