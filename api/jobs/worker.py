"""What a worker process does: one task after another for the server.

It reads messages from its standard input until that ends, so it never outlives the server by more than the
task in hand. Whatever libraries print goes to standard error.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import time
from typing import TYPE_CHECKING, Any, BinaryIO

from api.jobs.messages import HEADER, decode, encode, length
from api.jobs.traces import traced

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    Json = dict[str, Any]
    Task = Callable[[Mapping[str, Any], Callable[[], bool]], Any]
    LongTask = Callable[[Mapping[str, Any], Callable[[], bool], Callable[[Any], None]], Any]

if sys.platform != "win32":
    import resource

MEMORY_VARIABLE = "SIZEWRIGHT_WORKER_MEMORY"
NICENESS = 10
"""Of a worker beside the server: about a tenth of the share of a processor that both want (Linux, sched(7))."""


class Refusal(Exception):
    """What a task declines on purpose; `content` has the `kind` and what it is about, as JSON-able data."""

    def __init__(self, kind: str, **content: Any) -> None:
        self.content = {"kind": kind, **content}
        super().__init__(kind)


def serve(tasks: Mapping[str, Task], long_tasks: Mapping[str, LongTask] | None = None) -> None:
    """Answers messages with the tasks until the input ends.

    A task gets its arguments and a callback that says whether its time is up; a long one also a callback that tells
    the server how far it has come.
    """
    incoming, outgoing = _pipes()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _bound_memory()
    _give_way()
    _write(outgoing, {"ready": True})
    is_settled = False
    while len(header := incoming.read(HEADER)) == HEADER:
        message = decode(incoming.read(length(header)))
        _write(outgoing, answer({**tasks, **_told(long_tasks or {}, outgoing)}, message))
        if not is_settled:
            settle()
            is_settled = True


def settle() -> None:
    """Has the collector of garbage pass over what is there, which after a first task is libraries for the most part.

    Else it goes through all of them in the middle of some tasks, for as long as half a grade takes.
    """
    gc.collect()
    gc.freeze()


def _told(tasks: Mapping[str, LongTask], outgoing: BinaryIO) -> dict[str, Task]:
    """Long tasks as plain ones, whose progress goes through the pipe."""

    def tell(progress: Any) -> None:
        _write(outgoing, {"progress": progress})

    def plain(task: LongTask) -> Task:
        return lambda arguments, stop: task(arguments, stop, tell)

    return {name: plain(task) for name, task in tasks.items()}


def answer(tasks: Mapping[str, Task], message: Mapping[str, Any], stop: Callable[[], bool] | None = None) -> Json:
    """What a worker answers to a message; `stop` is asked besides the clock."""
    deadline = time.monotonic() + float(message["seconds"])
    try:
        done = tasks[message["task"]](
            message["arguments"], lambda: time.monotonic() > deadline or (stop is not None and stop())
        )
    except Refusal as refusal:
        return {"refused": refusal.content}
    except Exception as error:
        return {"failed": "\n".join(traced(error))}
    return {"done": done}


def _pipes() -> tuple[BinaryIO, BinaryIO]:
    outgoing = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    return sys.stdin.buffer, outgoing


def _bound_memory() -> None:
    limit = os.environ.get(MEMORY_VARIABLE, "")
    if sys.platform != "win32" and limit.isdecimal():
        resource.setrlimit(resource.RLIMIT_DATA, (int(limit), int(limit)))


def _give_way() -> None:
    """Has the system prefer the server, which answers others while this calculates."""
    if sys.platform != "win32":
        os.nice(NICENESS)


def _write(outgoing: BinaryIO, message: dict[str, Any]) -> None:
    outgoing.write(encode(message))
    outgoing.flush()
