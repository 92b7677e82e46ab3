"""Endpoints of a shop, and the notifications on their way there."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from api.schemas.base import UUID_EXAMPLE, UUID_PATTERN, Count, Envelope, PatternId, Request
from api.schemas.orders import OrderId
from api.schemas.orders import State as OrderState
from api.schemas.quotes import QuoteId

MOST_TEXT = 200
MOST_URL = 2000
USUAL_HOURS = 24
MOST_HOURS = 168
MOMENT = "2025-03-01T09:30:00Z"
SECRET = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD"  # noqa: S105
EventType = Literal["order.placed", "order.state", "order.note", "order.erased"]
NotificationState = Literal["waiting", "sent", "dead"]
EndpointState = Literal["enabled", "disabled"]

EndpointId = Annotated[
    str, Field(pattern=UUID_PATTERN, description="An endpoint's name for machines.", examples=[UUID_EXAMPLE])
]
NotificationId = Annotated[
    str,
    Field(
        pattern=UUID_PATTERN,
        description="A notification's name, the header `webhook-id`, the same however often it is sent.",
        examples=[UUID_EXAMPLE],
    ),
]
Url = Annotated[
    str,
    Field(
        min_length=1,
        max_length=MOST_URL,
        description="Where notifications are sent: an https address of a public host.",
        examples=["https://shop.example/sizewright"],
    ),
]
Events = Annotated[
    list[EventType],
    Field(
        min_length=1,
        max_length=4,
        description="What it is told of, each once.",
        json_schema_extra={"uniqueItems": True, "examples": [["order.placed", "order.state"]]},
    ),
]
Says = Annotated[str, Field(max_length=MOST_TEXT, description="What it is for.", examples=["the shop's till"])]
At = Annotated[datetime, Field(description="When.", examples=[MOMENT])]


def _whole(value: Any) -> Any:
    """JSON has one kind of numbers: 24.0 is an integer, as JSON Schema says."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


class NewEndpoint(Request):
    """An endpoint as it is asked for."""

    url: Url
    events: Events
    says: Says = ""

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        if len(set(self.events)) < len(self.events):
            raise ValueError("An event is named twice; name each once.")
        return self


class SecretRequest(Request):
    """How a secret is replaced."""

    hours: Annotated[
        int,
        Field(
            ge=0,
            le=MOST_HOURS,
            description="How many hours the secret before signs beside the new one.",
            examples=[USUAL_HOURS],
        ),
        BeforeValidator(_whole),
    ] = USUAL_HOURS


class EndpointMove(Envelope):
    """Whether an endpoint is notified."""

    to: Annotated[EndpointState, Field(description="The state that it comes into.", examples=["disabled"])]


class Endpoint(Envelope):
    """An endpoint without its secret."""

    id: EndpointId
    url: Url
    events: Events
    says: Says
    state: Annotated[EndpointState, Field(description="Whether it is notified.", examples=["enabled"])]
    disabled_because: Annotated[
        Literal["asked", "gone"] | None,
        Field(description="Why it is not: somebody asked for it, or it answered 410; null where it is."),
    ]
    old_secret_until: Annotated[
        datetime | None,
        Field(description="Until when the secret before signs too; null where none was replaced.", examples=[MOMENT]),
    ]
    created_at: At


class MadeEndpoint(Endpoint):
    """An endpoint with a secret that was just made, which is shown this once."""

    secret: Annotated[
        str,
        Field(
            description="What notifications are signed with (Standard Webhooks, `v1`). Write it down.",
            examples=[SECRET],
        ),
    ]


class EndpointList(Envelope):
    """A part of the list of endpoints."""

    items: list[Endpoint]
    total: Count


class EventData(Envelope):
    """What is told of an order: enough to ask for it. Nothing of its customer."""

    order: OrderId
    quote: QuoteId
    pattern: PatternId
    state: Annotated[OrderState, Field(description="The state that it was then in.", examples=["accepted"])]
    version: Annotated[
        int, Field(ge=1, description="Grows with every change: what is older than what was had is late.", examples=[2])
    ]


class Told(Envelope):
    """The body of a notification."""

    type: Annotated[EventType, Field(description="What happened.", examples=["order.state"])]
    timestamp: Annotated[datetime, Field(description="When it happened, not when it is sent.", examples=[MOMENT])]
    data: EventData


class Notification(Envelope):
    """A notification as it stands."""

    id: NotificationId
    endpoint: EndpointId
    state: Annotated[
        NotificationState,
        Field(description="Whether it waits for its next try, was taken, or was given up.", examples=["sent"]),
    ]
    tries: Annotated[int, Field(ge=0, description="How often it was sent since it was last begun.", examples=[1])]
    next_try: Annotated[
        datetime | None, Field(description="When it is sent next; null where it is not.", examples=[MOMENT])
    ]
    status: Annotated[
        int | None, Field(description="What the last try was answered with; null without an answer.", examples=[204])
    ]
    says: Annotated[str, Field(description="Why the last try failed; empty where it did not.", examples=[""])]
    body: Told
    created_at: At
    ended_at: Annotated[
        datetime | None, Field(description="When it was taken or given up; null while it waits.", examples=[MOMENT])
    ]


class NotificationList(Envelope):
    """A part of the list of notifications, the newest first."""

    items: list[Notification]
    next: Annotated[
        NotificationId | None, Field(description="The parameter `after` of the next part; null where there is none.")
    ]
