"""A worker with tasks that real ones should never have: it sleeps, dies, prints, and fills its memory."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Mapping
from typing import Any

from api.jobs.worker import Refusal, serve

Arguments = Mapping[str, Any]
Stop = Callable[[], bool]


def echo(arguments: Arguments, stop: Stop) -> Any:
    return {"pid": os.getpid(), "arguments": dict(arguments)}


def sleep(arguments: Arguments, stop: Stop) -> Any:
    time.sleep(arguments["seconds"])
    return os.getpid()


def work_until_stopped(arguments: Arguments, stop: Stop) -> Any:
    while not stop():
        time.sleep(0.01)
    raise Refusal("stopped")


def die(arguments: Arguments, stop: Stop) -> Any:
    os._exit(3)


def fail(arguments: Arguments, stop: Stop) -> Any:
    raise ZeroDivisionError("in the task")


def chatter(arguments: Arguments, stop: Stop) -> Any:
    print("a library that prints to standard output")
    os.write(1, b"and one that writes to it directly\n")
    return "unharmed"


def swell(arguments: Arguments, stop: Stop) -> Any:
    return len(bytearray(arguments["bytes"]))


def count(arguments: Arguments, stop: Stop, tell: Callable[[Any], None]) -> Any:
    for number in range(arguments["most"]):
        tell({"number": number})
    time.sleep(arguments.get("seconds", 0))
    return os.getpid()


def bulk(arguments: Arguments, stop: Stop) -> Any:
    return os.getpid()


def warm(arguments: Arguments, stop: Stop, tell: Callable[[Any], None]) -> None:
    time.sleep(0.5)


if __name__ == "__main__":
    tasks = {task.__name__: task for task in (echo, sleep, work_until_stopped, die, fail, chatter, swell, bulk)}
    serve(tasks, {"count": count, "warm": warm})
