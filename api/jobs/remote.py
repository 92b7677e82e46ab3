"""What a worker of a cluster does: one task at a time in each process, with what it needs loaded once.

This module is imported by the server too, which never loads the tasks themselves.
"""

from __future__ import annotations

import os
import threading
import time
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

from distributed import Worker, get_worker

from api import VERSION
from api.jobs.messages import decode, written
from api.jobs.worker import answer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from api.jobs.worker import LongTask, Task

ONE_AT_A_TIME = threading.Lock()
"""The library keeps what it has prepared for one thread."""


def perform(content: bytes) -> bytes:
    """Does what a message asks and gives the answer, both in the words of `api.jobs.messages`.

    Besides those words a message has the `name` of the task in hand, the `topic` under which its start and progress are
    told, the `version` of the server, and where it must end soon its `until` by the clock of the day.
    """
    message = decode(content)
    if message["version"] != VERSION:
        return written({"failed": f"The worker has version {VERSION}, the server {message['version']}."})
    worker = get_worker()
    key = worker.get_current_task()
    with ONE_AT_A_TIME:
        _tell(worker, message, {"begun": os.getpid()})
        return written(answer(_tasks(worker, message), _timed(message), lambda: _is_dropped(worker, key)))


@cache
def _known() -> tuple[Mapping[str, Task], Mapping[str, LongTask]]:
    tasks = import_module("api.jobs.tasks")
    return tasks.TASKS, tasks.LONG_TASKS


def _tasks(worker: Worker, message: Mapping[str, Any]) -> dict[str, Task]:
    plain, long = _known()

    def tell(progress: Any) -> None:
        _tell(worker, message, {"progress": progress})

    def told(task: LongTask) -> Task:
        return lambda arguments, stop: task(arguments, stop, tell)

    return {**plain, **{name: told(task) for name, task in long.items()}}


def _timed(message: dict[str, Any]) -> dict[str, Any]:
    """The message with its end by the clock of this machine."""
    if message.get("until") is None:
        return message
    until = time.monotonic() + message["until"] - time.time()
    return {**message, "arguments": {**message["arguments"], "until": until}}


def _tell(worker: Worker, message: Mapping[str, Any], event: dict[str, Any]) -> None:
    worker.log_event(message["topic"], {"name": message["name"], **event})


def _is_dropped(worker: Worker, key: Any) -> bool:
    """Whether nobody waits for the task any more."""
    task = worker.state.tasks.get(key)
    return task is None or task.state == "cancelled"
