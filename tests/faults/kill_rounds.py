"""A server that is killed again and again while clients write, and what is left of what it accepted."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from pathlib import Path

from tests.api.support import pattern_document
from tests.faults.server import Served, served
from tests.faults.writers import Book, Findings, Writers, looked_through
from tests.load import shelf

QUOTES = 400
"""Of each round: more than are ordered in it."""
SHORTEST, LONGEST = 0.05, 0.6
"""Seconds of writing before a kill."""


def killed_again_and_again(
    folder: Path, url: str, rounds: int, seed: int, note: Callable[[str], None] | None = None
) -> Findings:
    """Kills the server so many times at times drawn at random; each next server is asked for all that was accepted."""
    generator, book, findings = random.Random(seed), Book(), Findings()
    first = ""
    for number in range(rounds + 1):
        with served(folder, url) as server:
            looked_through(server, book, url, findings)
            if number == rounds:
                break
            first = first or _quote(server)
            writers = Writers(server, book, seed + number, shelf.quotes(url, first, QUOTES))
            writers.begin()
            time.sleep(generator.uniform(SHORTEST, LONGEST))
            server.kill()
            writers.join()
            if note is not None and number % 10 == 9:
                note(f"{number + 1} rounds: {findings.accepted} accepted, {len(findings.faults)} faults")
    return findings


def _quote(server: Served) -> str:
    stored = server.ask("POST", "/patterns", {"document": pattern_document()}).json()
    address = f"/patterns/{stored['id']}/revisions/{stored['head']}/quotes"
    return str(server.ask("POST", address, {"size": "mini"}).json()["id"])
