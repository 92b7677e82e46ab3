"""How often a caller may ask: a bucket of tokens for each, in the memory of one server.

A bucket holds up to `burst` tokens and gains `each_minute` of them a minute, evenly; a request takes one.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass

MOST_BUCKETS = 10_000


@dataclass(frozen=True)
class Rate:
    """How many requests a minute a caller may send in the long run, and how many at once."""

    each_minute: int
    burst: int

    @property
    def filling(self) -> float:
        """Seconds from empty to full."""
        return self.burst * 60 / self.each_minute


@dataclass(frozen=True)
class Taken:
    """What is left after a request: `wait` is 0 when it may go on, else the whole seconds until one may."""

    left: int
    wait: int


class Allowance:
    """The buckets of all callers of one kind. Buckets that are full again are forgotten."""

    def __init__(self, rate: Rate, clock: Callable[[], float] = time.monotonic) -> None:
        self.rate, self._clock = rate, clock
        self._buckets: dict[str, tuple[float, float]] = {}

    def take(self, name: str) -> Taken:
        """Takes a token from the caller's bucket if there is one."""
        now = self._clock()
        if len(self._buckets) >= MOST_BUCKETS:
            self._forget(now)
        held = self._held(name, now)
        if held < 1:
            self._buckets[name] = (held, now)
            return Taken(0, max(1, math.ceil((1 - held) * 60 / self.rate.each_minute)))
        self._buckets[name] = (held - 1, now)
        return Taken(int(held - 1), 0)

    def _held(self, name: str, now: float) -> float:
        held, since = self._buckets.get(name, (float(self.rate.burst), now))
        return min(float(self.rate.burst), held + (now - since) * self.rate.each_minute / 60)

    def _forget(self, now: float) -> None:
        full = [name for name, (_, since) in self._buckets.items() if now - since >= self.rate.filling]
        for name in full:
            del self._buckets[name]
