"""What can be set from outside, and how it is read from the environment."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from api.access.origins import fault_of
from api.environment import Environment

if TYPE_CHECKING:
    from collections.abc import Mapping

MEGABYTE = 1024 * 1024
MOST_REQUESTS = 1_000_000
DEFAULT_DATABASE = "sqlite+aiosqlite:///sizewright.db"
DRIVERS = {"sqlite": "sqlite+aiosqlite", "postgresql": "postgresql+asyncpg", "postgres": "postgresql+asyncpg"}
LOG_LEVELS = ("debug", "info", "warning", "error")
SCHEDULER = re.compile(r"(tcp|tls)://[A-Za-z0-9.\-\[\]:]+:[0-9]{1,5}")
METRICS_TOKEN = re.compile(r"[\x21-\x7e]{16,200}")


class UnusableSetting(ValueError):
    """A variable of the environment holds what cannot be used; the text names it and says what would do."""


@dataclass(frozen=True)
class Settings:
    """Everything the server needs to know before it starts.

    Sizes are in bytes, times in seconds. `workers` bounds the processes that solve, `queue` the requests
    that may wait for one of them; `time_limit` holds for the work of a request, `job_time` for that of a job.
    `rate` is how many requests a minute a key may send in the long run and `burst` how many at once; `form_rate` and
    `form_burst` are the same for the token of an order form. Pages of `origins` may use keys; `https` tells that
    browsers reach the server that way only. `notify_private` lets notifications go to private hosts, over http too.
    `requests` bounds those in hand at once; `stop_time` is what they get when the server is told to stop. A job of a
    server that has not been heard of for `job_lease` is another server's.
    `metrics_token` is what a collector of metrics must show; `scheduler` is the address of a cluster for long work.
    """

    database_url: str = DEFAULT_DATABASE
    host: str = "127.0.0.1"
    port: int = 8000
    body_limit: int = 10 * MEGABYTE
    workers: int = 2
    queue: int = 16
    time_limit: float = 30.0
    job_time: float = 600.0
    worker_idle: float = 60.0
    worker_memory: int = 1024 * MEGABYTE
    rate: int = 600
    burst: int = 600
    form_rate: int = 60
    form_burst: int = 60
    origins: tuple[str, ...] = ()
    https: bool = False
    notify_private: bool = False
    requests: int = 500
    stop_time: float = 10.0
    job_lease: float = 15.0
    log: str = "info"
    metrics_token: str | None = field(default=None, repr=False)
    scheduler: str | None = None

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] | None = None) -> Settings:
        """Settings from DATABASE_URL and SIZEWRIGHT_HOST, _PORT, _BODY_LIMIT, _WORKERS, _QUEUE, _TIME_LIMIT,
        _JOB_TIME, _WORKER_IDLE, _WORKER_MEMORY, _RATE, _BURST, _FORM_RATE, _FORM_BURST, _ORIGINS (with commas between),
        _HTTPS and _NOTIFY_PRIVATE (1 or 0), _REQUESTS, _STOP_TIME, _JOB_LEASE, _LOG, _METRICS_TOKEN and _SCHEDULER;
        what is not set keeps its default, and a burst is as large as its rate.

        Raises UnusableSetting for a number that cannot be read or lies outside its bounds, for other values that cannot
        be used, and for a variable SIZEWRIGHT_… that is not known.
        """
        given = Environment(os.environ if environment is None else environment)
        settings = cls._read(given)
        if (fault := given.fault()) is not None:
            raise UnusableSetting(fault)
        return settings

    @classmethod
    def _read(cls, given: Environment) -> Settings:
        rate = _whole(given, "SIZEWRIGHT_RATE", cls.rate, 1, MOST_REQUESTS)
        form_rate = _whole(given, "SIZEWRIGHT_FORM_RATE", cls.form_rate, 1, MOST_REQUESTS)
        return cls(
            database_url=_database(given),
            host=given.get("SIZEWRIGHT_HOST") or cls.host,
            port=_whole(given, "SIZEWRIGHT_PORT", cls.port, 0, 65535),
            body_limit=_whole(given, "SIZEWRIGHT_BODY_LIMIT", cls.body_limit, 1024, 100 * MEGABYTE),
            workers=_whole(given, "SIZEWRIGHT_WORKERS", cls.workers, 1, 64),
            queue=_whole(given, "SIZEWRIGHT_QUEUE", cls.queue, 0, 10_000),
            time_limit=float(_whole(given, "SIZEWRIGHT_TIME_LIMIT", int(cls.time_limit), 1, 3600)),
            job_time=float(_whole(given, "SIZEWRIGHT_JOB_TIME", int(cls.job_time), 1, 86_400)),
            worker_idle=float(_whole(given, "SIZEWRIGHT_WORKER_IDLE", int(cls.worker_idle), 1, 86_400)),
            worker_memory=_whole(
                given, "SIZEWRIGHT_WORKER_MEMORY", cls.worker_memory, 256 * MEGABYTE, 65_536 * MEGABYTE
            ),
            rate=rate,
            burst=_whole(given, "SIZEWRIGHT_BURST", rate, 1, MOST_REQUESTS),
            form_rate=form_rate,
            form_burst=_whole(given, "SIZEWRIGHT_FORM_BURST", form_rate, 1, MOST_REQUESTS),
            origins=_origins(given),
            https=_whole(given, "SIZEWRIGHT_HTTPS", 0, 0, 1) == 1,
            notify_private=_whole(given, "SIZEWRIGHT_NOTIFY_PRIVATE", 0, 0, 1) == 1,
            requests=_whole(given, "SIZEWRIGHT_REQUESTS", cls.requests, 1, 10_000),
            stop_time=float(_whole(given, "SIZEWRIGHT_STOP_TIME", int(cls.stop_time), 1, 3600)),
            job_lease=float(_whole(given, "SIZEWRIGHT_JOB_LEASE", int(cls.job_lease), 3, 3600)),
            log=_log_level(given),
            metrics_token=_text(
                given, "SIZEWRIGHT_METRICS_TOKEN", METRICS_TOKEN, "16 to 200 characters of ASCII without spaces"
            ),
            scheduler=_scheduler(given),
        )


def asynchronous(url: str) -> str:
    """A database address with its asynchronous driver: `sqlite:///x.db` becomes `sqlite+aiosqlite:///x.db`."""
    kind, separator, rest = url.partition("://")
    return f"{DRIVERS.get(kind, kind)}{separator}{rest}"


def sqlite_file(url: str) -> Path | None:
    """The file behind an SQLite address; None for a database in memory or of another kind."""
    kind, _, rest = url.partition(":///")
    file = rest.partition("?")[0]
    return Path(file) if kind.startswith("sqlite") and file not in ("", ":memory:") else None


def _origins(given: Mapping[str, str]) -> tuple[str, ...]:
    listed = tuple(origin for part in (given.get("SIZEWRIGHT_ORIGINS") or "").split(",") if (origin := part.strip()))
    for origin in listed:
        if (fault := fault_of(origin)) is not None:
            raise UnusableSetting(f"SIZEWRIGHT_ORIGINS has {origin!r}. {fault}")
    return listed


def _database(given: Mapping[str, str]) -> str:
    """The address; what is refused is not shown, since a password may stand in it."""
    url = asynchronous(given.get("DATABASE_URL") or DEFAULT_DATABASE)
    kind, separator, rest = url.partition("://")
    if kind not in DRIVERS.values() or not separator or (kind != DRIVERS["sqlite"] and not rest):
        raise UnusableSetting(
            "DATABASE_URL is of no kind that is known; sqlite:///bags.db or postgresql://user@host/bags would do."
        )
    return url


def _log_level(given: Mapping[str, str]) -> str:
    level = given.get("SIZEWRIGHT_LOG") or Settings.log
    if level not in LOG_LEVELS:
        raise UnusableSetting(f"SIZEWRIGHT_LOG is {level!r}; one of {', '.join(LOG_LEVELS)} would do.")
    return level


def _scheduler(given: Mapping[str, str]) -> str | None:
    address = _text(given, "SIZEWRIGHT_SCHEDULER", SCHEDULER, "an address as in tcp://127.0.0.1:8786")
    if address is not None and find_spec("distributed") is None:
        raise UnusableSetting("SIZEWRIGHT_SCHEDULER is set, but Dask is missing: pip install 'sizewright[cluster]'")
    return address


def _text(given: Mapping[str, str], name: str, shape: re.Pattern[str], wanted: str) -> str | None:
    """A value of this shape, or None; one that is refused is not shown, since it may be a secret."""
    text = given.get(name) or None
    if text is not None and shape.fullmatch(text) is None:
        raise UnusableSetting(f"{name} cannot be used; {wanted} would do.")
    return text


def _whole(given: Mapping[str, str], name: str, default: int, least: int, most: int) -> int:
    text = given.get(name)
    if text is None or not text.strip():
        return default
    if not text.strip().isdecimal() or len(text) > 20 or not least <= int(text) <= most:
        raise UnusableSetting(f"{name} is {text!r}; a whole number from {least} to {most} would do.")
    return int(text)
