"""What cannot be done with quotes and orders.

OperationError
├── NoIdempotencyKey      an order that is placed without a key, or with one that cannot be read
├── KeyUsedOtherwise      a key by which something else was sent before
├── QuoteExpired          a quote whose time is over
├── QuoteOrdered          a quote that has been ordered before, by another key
├── StateRefused          a state that an order cannot come into from the one that it is in
└── StaleOrder            an order that has moved on since it was read
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.operations.errors import OperationError

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime


class NoIdempotencyKey(OperationError):
    """An order that is placed without a key; `given` tells whether there was one that cannot be read."""

    def __init__(self, *, given: bool) -> None:
        self.given = given
        wrong = "This Idempotency-Key cannot be read. " if given else ""
        super().__init__(
            f"{wrong}Send a key of your own with every order, and the same when you send it again: 16 to 255 letters, "
            'digits, - and _ in quotes, as in Idempotency-Key: "8e03978e-40d5-43e8-bc93-6894a57f9324".'
        )


class KeyUsedOtherwise(OperationError):
    """A key by which something else was sent before."""

    def __init__(self) -> None:
        super().__init__("Another order was sent with this Idempotency-Key. Take a new key for a new order.")


class QuoteExpired(OperationError):
    """A quote whose time is over; `until` is when it was."""

    def __init__(self, quote: str, pattern: str, revision: str, until: datetime) -> None:
        self.quote, self.pattern, self.revision, self.until = quote, pattern, revision, until
        super().__init__(
            f"This quote was valid until {until.isoformat()}. Ask for a new one with the same wishes: "
            f"POST /patterns/{pattern}/revisions/{revision}/quotes."
        )


class QuoteOrdered(OperationError):
    """A quote that has been ordered before."""

    def __init__(self, quote: str) -> None:
        self.quote = quote
        super().__init__("This quote has been ordered already. Ask for a new quote to order the same again.")


class StateRefused(OperationError):
    """A state that an order cannot come into; `possible` are those that it can."""

    def __init__(self, state: str, to: str, possible: Iterable[str]) -> None:
        self.state, self.to, self.possible = state, to, tuple(possible)
        told = f"it can become {' or '.join(self.possible)}" if self.possible else "it stays so"
        super().__init__(f"An order that is {state} cannot become {to}: {told}.")


class StaleOrder(OperationError):
    """An order that has moved on since it was read."""

    def __init__(self, version: int) -> None:
        self.version = version
        super().__init__("The order has been changed since it was read. Read it, and send your change with its ETag.")
