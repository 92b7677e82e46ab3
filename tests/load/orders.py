"""Many clients that place orders while their connections are cut at random, and try again until each is answered."""

from __future__ import annotations

import asyncio
import contextlib
import json
import random
from collections import Counter
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

from tests.faults.server import Served

CUT_SHARE = 0.4
"""Of the requests, those whose connection is cut before the answer has been read."""
ANSWER_SECONDS = 60.0
MOST_TRIES = 60


@dataclass
class Outcome:
    """What became of the orders of all clients: names by their keys, how often a connection was cut, statuses."""

    placed: dict[str, str] = field(default_factory=dict)
    differing: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    cuts: int = 0
    replayed: int = 0
    statuses: Counter[int] = field(default_factory=Counter)


def placed_by_many(server: Served, quotes: list[str], clients: int, seed: int) -> Outcome:
    """Orders each quote once, by so many clients at a time."""
    outcome = Outcome()

    async def work() -> None:
        shares = [quotes[number::clients] for number in range(clients)]
        await asyncio.gather(
            *(_client(server, share, random.Random(f"{seed} {n}"), outcome) for n, share in enumerate(shares))
        )

    asyncio.run(work())
    return outcome


async def _client(server: Served, quotes: list[str], generator: random.Random, outcome: Outcome) -> None:
    for quote in quotes:
        key = str(uuid4())
        request = _request(server, key, {"quote": quote, "notes": f"by {key}"})
        for _ in range(MOST_TRIES):
            answer = await _sent(server, request, generator, outcome)
            if answer is not None and _taken(answer, key, outcome):
                break
        else:
            outcome.refused.append(key)
        # Some send it once more though they were answered, as clients do that forget.
        if generator.random() < 0.1 and (again := await _sent(server, request, generator, outcome)) is not None:
            _taken(again, key, outcome)


def _request(server: Served, key: str, body: dict[str, Any]) -> bytes:
    content = json.dumps(body).encode()
    head = (
        f"POST /orders HTTP/1.1\r\nHost: localhost\r\nAuthorization: {server.authorization}\r\n"
        f'Idempotency-Key: "{key}"\r\nContent-Type: application/json\r\n'
        f"Content-Length: {len(content)}\r\nConnection: close\r\n\r\n"
    )
    return head.encode() + content


async def _sent(server: Served, request: bytes, generator: random.Random, outcome: Outcome) -> bytes | None:
    """The whole answer, or None where the connection was cut."""
    cut = generator.random() < CUT_SHARE
    part = generator.choice((len(request), len(request), generator.randrange(1, len(request)))) if cut else len(request)
    wait = generator.choice((0.0, 0.002, 0.01, 0.05)) if cut else ANSWER_SECONDS
    try:
        incoming, outgoing = await asyncio.open_connection("127.0.0.1", server.port)
    except OSError:
        outcome.cuts += 1
        return None
    answer = b""
    try:
        outgoing.write(request[:part])
        await outgoing.drain()
        async with asyncio.timeout(wait):
            answer = await incoming.read()
    except (TimeoutError, OSError):
        outcome.cuts += 1
        return None
    finally:
        outgoing.transport.abort() if cut else outgoing.close()
        with contextlib.suppress(OSError):
            await outgoing.wait_closed()
    return answer or None


def _taken(answer: bytes, key: str, outcome: Outcome) -> bool:
    head, _, content = answer.partition(b"\r\n\r\n")
    status = int(head.split(b" ", 2)[1])
    outcome.statuses[status] += 1
    if status != 201:
        return False
    name = json.loads(content)["id"]
    outcome.replayed += b"idempotency-replayed: true" in head.lower()
    if outcome.placed.setdefault(key, name) != name:
        outcome.differing.append(key)
    return True
