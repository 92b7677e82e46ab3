"""Orders: placed once, moved from state to state, kept for ever with what they were made from."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from api.schemas.base import UUID_EXAMPLE, UUID_PATTERN, Envelope, Request
from api.schemas.quotes import Quote, QuoteId

MOST_NOTES = 2000
MOST_WORDS = 200
MOST_TOGETHER = 50
State = Literal["placed", "accepted", "cutting", "sewing", "ready", "sent", "cancelled"]
OrderId = Annotated[
    str, Field(pattern=UUID_PATTERN, description="An order's name for machines.", examples=[UUID_EXAMPLE])
]
Words = Annotated[str, Field(min_length=1, max_length=MOST_WORDS)]
Notes = Annotated[str, Field(max_length=MOST_NOTES, description="What is said of it.", examples=["a gift; no hurry"])]
At = Annotated[datetime, Field(description="When.", examples=["2025-03-01T09:30:00Z"])]


class NewCustomer(Request):
    """What is kept of a customer: as little as will do."""

    reference: Annotated[
        Words | None, Field(description="The shop's own name for the order.", examples=["shop-2041"])
    ] = None
    name: Annotated[Words | None, Field(description="Whom it is for.", examples=["A. Winter"])] = None
    contact: Annotated[
        Words | None, Field(description="Where the customer is reached.", examples=["winter@example.org"])
    ] = None


class NewOrder(Request):
    """An order of a quote."""

    quote: QuoteId
    customer: Annotated[NewCustomer, Field(default_factory=NewCustomer, description="What is kept of the customer.")]
    notes: Notes = ""


class Move(Envelope):
    """The state that an order comes into."""

    to: Annotated[State, Field(description="The state that it comes into.", examples=["accepted"])]
    says: Notes = ""


class NewNote(Envelope):
    """A note for the history of an order."""

    says: Annotated[
        str, Field(min_length=1, max_length=MOST_NOTES, description="The note.", examples=["the customer wrote again"])
    ]


class Customer(Envelope):
    """What is kept of a customer; null where nothing is."""

    reference: Annotated[str | None, Field(description="The shop's own name for the order.")]
    name: Annotated[str | None, Field(description="Whom it is for.")]
    contact: Annotated[str | None, Field(description="Where the customer is reached.")]


class HistoryEntry(Envelope):
    """One entry of an order's history."""

    kind: Annotated[
        Literal["state", "note", "erased"], Field(description="A state that it came into, a note, or data erased.")
    ]
    state: Annotated[State, Field(description="The state that it was then in.")]
    says: Annotated[str, Field(description="What was said.")]
    at: At


class Order(Envelope):
    """An order as it stands. Its quote, and all that this names, never changes."""

    id: OrderId
    state: Annotated[State, Field(description="How far it has come.", examples=["placed"])]
    next: Annotated[list[State], Field(description="The states that it can come into from here.")]
    quote: Quote
    customer: Customer
    history: Annotated[list[HistoryEntry], Field(description="Everything that has become of it, the first first.")]
    created_at: At
    changed_at: At


class OrderList(Envelope):
    """A part of the list of orders, the newest first."""

    items: list[Order]
    next: Annotated[
        OrderId | None, Field(description="The parameter `after` of the next part; null where there is none.")
    ]


class PacketRequest(Envelope):
    """Orders that are cut together."""

    orders: Annotated[
        list[OrderId],
        Field(
            min_length=1,
            max_length=MOST_TOGETHER,
            description="The orders, each once.",
            json_schema_extra={"uniqueItems": True, "examples": [[UUID_EXAMPLE]]},
        ),
    ]

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        if len(set(self.orders)) < len(self.orders):
            raise ValueError("An order is named twice; name each once.")
        return self
