"""When a notification that was not taken is sent again."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

DELAYS = (
    timedelta(seconds=5),
    timedelta(minutes=5),
    timedelta(minutes=30),
    timedelta(hours=2),
    timedelta(hours=5),
    timedelta(hours=10),
    timedelta(hours=14),
    timedelta(hours=20),
    timedelta(hours=24),
)
"""The example of Standard Webhooks 1.0.0, "Deliverability and reliability": ten tries in a little over three days."""
MOST_TRIES = len(DELAYS) + 1
MORE = 0.2
"""Delays are longer by up to this part, so that what failed together does not come back together."""
LONGEST_WISH = timedelta(hours=24)


def delay(tries: int, chance: Callable[[], float], wished: timedelta | None = None) -> timedelta | None:
    """How long to wait after so many tries have failed, from 1 on; None where that was the last one.

    `chance` gives a number from 0 to below 1. What the receiver wished with Retry-After is kept to, up to a day.
    """
    if tries >= MOST_TRIES:
        return None
    planned = DELAYS[tries - 1] * (1 + MORE * chance())
    return planned if wished is None else max(planned, min(wished, LONGEST_WISH))
