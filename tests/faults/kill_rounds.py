"""A server that is killed again and again while clients write, and what is left of what it accepted."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from pathlib import Path

from tests.faults.server import served
from tests.faults.writers import Book, Findings, Writers, looked_through

SHORTEST, LONGEST = 0.05, 0.6
"""Seconds of writing before a kill."""


def killed_again_and_again(
    folder: Path, url: str, rounds: int, seed: int, note: Callable[[str], None] | None = None
) -> Findings:
    """Kills the server so many times at times drawn at random; each next server is asked for all that was accepted."""
    generator, book, findings = random.Random(seed), Book(), Findings()
    for number in range(rounds + 1):
        with served(folder, url) as server:
            looked_through(server, book, url, findings)
            if number == rounds:
                return findings
            writers = Writers(server, book, seed + number)
            writers.begin()
            time.sleep(generator.uniform(SHORTEST, LONGEST))
            server.kill()
            writers.join()
            if note is not None and number % 10 == 9:
                note(f"{number + 1} rounds: {findings.accepted} accepted, {len(findings.faults)} faults")
    return findings
