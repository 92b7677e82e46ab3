"""Which executor a server works with."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from api.jobs.pool import PoolSettings, WorkerPool

if TYPE_CHECKING:
    from api.jobs.executor import Executor
    from api.settings import Settings


def executor_for(settings: Settings) -> Executor:
    """A pool of processes, before which there is a cluster where the settings name a scheduler.

    Dask is an extra and takes long to load, so that a server without a cluster never imports it.
    """
    pool = WorkerPool(
        PoolSettings(
            workers=settings.workers,
            queue=settings.queue,
            time_limit=settings.time_limit,
            job_time=settings.job_time,
            idle=settings.worker_idle,
            memory=settings.worker_memory,
        )
    )
    if settings.scheduler is None:
        return pool
    cluster = import_module("api.jobs.cluster")
    chosen = cluster.ClusterSettings(
        settings.scheduler, queue=settings.queue, time_limit=settings.time_limit, job_time=settings.job_time
    )
    made: Executor = cluster.Cluster(chosen, pool)
    return made
