"""Clients that write while something goes wrong, what they were told, and whether it is still so afterwards."""

from __future__ import annotations

import contextlib
import http.client
import random
import threading
from collections import Counter
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

from tests.api.support import pattern_document
from tests.faults.server import Served
from tests.storage.support import rows

WRITERS = 4
OWN_QUOTES, OTHER_QUOTES = 2, 15
"""Orders, for each pattern that is stored, of quotes that a writer has asked for, and of those that were there."""
REFUSED_FOR_NOW = 503
HALF_WRITTEN = {
    "an order without its key": "SELECT count(*) FROM orders WHERE id NOT IN (SELECT order_id FROM idempotency_keys)",
    "a key without its order": "SELECT count(*) FROM idempotency_keys WHERE order_id NOT IN (SELECT id FROM orders)",
    "an order without its history": "SELECT count(*) FROM orders WHERE NOT EXISTS "
    "(SELECT 1 FROM order_events WHERE order_id = orders.id AND number = 1)",
    "a pattern without its head": "SELECT count(*) FROM patterns WHERE NOT EXISTS "
    "(SELECT 1 FROM revisions WHERE revisions.id = patterns.head AND revisions.pattern_id = patterns.id)",
    "a quote that was ordered twice": "SELECT count(*) FROM (SELECT quote_id FROM orders "
    "GROUP BY quote_id HAVING count(*) > 1) AS twice",
}
"""What no reader may ever find, as questions that are answered 0 by a whole database."""


@dataclass(frozen=True)
class Accepted:
    """What was answered to be stored: where it lies, and the part of it that was sent."""

    address: str
    content: Any
    part: str | None = None


@dataclass
class Order:
    """An order as it was sent, and what was answered, if anything was."""

    key: str
    body: dict[str, Any]
    answer: bytes | None = None


@dataclass
class Book:
    """What all clients were told, in the order of each; lists only grow."""

    accepted: list[Accepted] = field(default_factory=list)
    orders: list[Order] = field(default_factory=list)
    half_read: list[str] = field(default_factory=list)
    statuses: Counter[int] = field(default_factory=Counter)


class Writers:
    """Some clients that store patterns, grades, quotes and orders one after the other, and one that reads meanwhile."""

    def __init__(self, server: Served, book: Book, seed: int, quotes: list[str] | None = None) -> None:
        """`quotes` are there to be ordered; each that is taken leaves the list."""
        self._server, self._book, self._seed = server, book, seed
        self._quotes = [] if quotes is None else quotes
        self._stopping = threading.Event()
        self._threads = [threading.Thread(target=self._write, args=(number,)) for number in range(WRITERS)]
        self._threads.append(threading.Thread(target=self._read))

    def begin(self) -> None:
        """Has them begin; each goes on until it is stopped, or the server answers no more."""
        for thread in self._threads:
            thread.start()

    def join(self) -> None:
        """Stops them, and waits until each has ended."""
        self._stopping.set()
        for thread in self._threads:
            thread.join()

    def _write(self, number: int) -> None:
        generator = random.Random(f"{self._seed} {number}")
        with (
            contextlib.suppress(OSError, http.client.HTTPException),
            contextlib.closing(self._server.connect()) as connection,
        ):
            while not self._stopping.is_set():
                self._one_of_each(connection, generator)

    def _one_of_each(self, connection: http.client.HTTPConnection, generator: random.Random) -> None:
        document = pattern_document(f"Pouch {uuid4()}", generator.randint(50, 500))
        stored = self._post(connection, "/patterns", {"document": document})
        if stored is None:
            return
        revision = f"/patterns/{stored['id']}/revisions/{stored['head']}"
        self._book.accepted.append(Accepted(revision, document, "document"))
        asked = {"request": {"scale": f"{generator.randint(50, 150)}/100"}}
        grade = self._post(connection, f"{revision}/grades", asked)
        if grade is not None:
            self._book.accepted.append(Accepted(f"/grades/{grade['id']}", asked["request"], "size.request"))
        for _ in range(OWN_QUOTES):
            quote = self._post(connection, f"{revision}/quotes", {"size": "mini"})
            if quote is not None:
                self._book.accepted.append(Accepted(f"/quotes/{quote['id']}", quote["id"], "id"))
                self._order(connection, quote["id"])
        for _ in range(OTHER_QUOTES):
            if self._quotes:
                self._order(connection, self._quotes.pop())

    def _order(self, connection: http.client.HTTPConnection, quote: str) -> None:
        order = Order(f"{uuid4()}", {"quote": quote, "notes": f"for {uuid4()}"})
        self._book.orders.append(order)
        answer = self._server.asked(connection, "POST", "/orders", order.body, Idempotency_Key=f'"{order.key}"')
        self._book.statuses[answer.status] += 1
        if answer.status == 201:
            order.answer = answer.content

    def _post(self, connection: http.client.HTTPConnection, address: str, body: Any) -> Any:
        """What was stored, or None where the server could not just now."""
        answer = self._server.asked(connection, "POST", address, body)
        self._book.statuses[answer.status] += 1
        if answer.status == 201:
            return answer.json()
        if answer.status not in (200, REFUSED_FOR_NOW):
            self._book.half_read.append(f"POST {address} is answered {answer.status}: {answer.content[:300]!r}")
        return None

    def _read(self) -> None:
        """Reads what is listed as soon as it is, and notes what is not whole."""
        with (
            contextlib.suppress(OSError, http.client.HTTPException),
            contextlib.closing(self._server.connect()) as connection,
        ):
            while not self._stopping.is_set():
                listed = self._server.asked(connection, "GET", "/orders?limit=5")
                for order in listed.json()["items"] if listed.status == 200 else []:
                    if not order["history"] or order["history"][0]["state"] != "placed":
                        self._book.half_read.append(f"order {order['id']} without its history")
                    found = self._server.asked(connection, "GET", f"/quotes/{order['quote']['id']}")
                    if found.status not in (200, REFUSED_FOR_NOW):
                        self._book.half_read.append(f"order {order['id']} without its quote")


@dataclass
class Findings:
    """How many accepted things were looked at, and what was wrong with them, in words."""

    accepted: int = 0
    orders: int = 0
    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    half_written: list[str] = field(default_factory=list)

    @property
    def faults(self) -> list[str]:
        """All that was wrong."""
        return self.lost + self.doubled + self.half_written


def looked_through(server: Served, book: Book, url: str, findings: Findings) -> None:
    """Reads again all that was accepted, sends every order again, and counts what is in the database; notes faults.

    The book begins anew then.
    """
    with contextlib.closing(server.connect()) as connection:
        for each in book.accepted:
            findings.accepted += 1
            answer = server.asked(connection, "GET", each.address)
            if answer.status != 200 or _part(answer.json(), each.part) != each.content:
                findings.lost.append(f"{each.address} is answered {answer.status}")
        for order in book.orders:
            findings.orders += 1
            _sent_again(server, connection, order, findings)
    findings.half_written += book.half_read
    for says, statement in HALF_WRITTEN.items():
        if (found := rows(url, statement)[0][0]) != 0:
            findings.half_written.append(f"{found} times {says}")
    (placed,), (keys,) = (
        rows(url, "SELECT count(*) FROM orders")[0],
        rows(url, "SELECT count(*) FROM idempotency_keys")[0],
    )
    if not placed == keys == findings.orders:
        findings.doubled.append(f"{findings.orders} orders were sent, and there are {placed} with {keys} keys")
    book.accepted.clear()
    book.orders.clear()
    book.half_read.clear()


def _sent_again(server: Served, connection: http.client.HTTPConnection, order: Order, findings: Findings) -> None:
    answers = [
        server.asked(connection, "POST", "/orders", order.body, Idempotency_Key=f'"{order.key}"') for _ in range(2)
    ]
    if any(answer.status != 201 for answer in answers):
        findings.lost.append(f"an order sent again is answered {[answer.status for answer in answers]}")
        return
    if answers[0].content != answers[1].content or order.answer not in (None, answers[0].content):
        findings.doubled.append(f"an order sent again is answered as another one: {order.key}")
    if order.answer is not None and "idempotency-replayed" not in answers[0].headers:
        findings.lost.append(f"an accepted order was placed anew: {order.key}")
    name = answers[0].json()["id"]
    if server.asked(connection, "GET", f"/orders/{name}").status != 200:
        findings.lost.append(f"order {name} cannot be read")


def _part(content: Any, part: str | None) -> Any:
    for name in part.split(".") if part else ():
        content = content.get(name) if isinstance(content, dict) else None
    return content
