"""Keys of a workshop, and who asks with one."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from pydantic import Field

from api.access.scopes import KeyScope
from api.access.secrets import NAME_PATTERN as KEY_NAME_PATTERN
from api.schemas.base import Count, Envelope, PatternId, Request

MOST_DAYS = 3650
MOST_OVERLAP = 90
USUAL_OVERLAP = 7
MOST_TEXT = 200
MOMENT = "2025-03-01T09:30:00Z"
KEY_EXAMPLE = "5f0c3b7a91d2e846"

Scopes = Annotated[list[KeyScope], Field(description="What it may do.", examples=[["read", "order"]])]
Says = Annotated[str, Field(max_length=MOST_TEXT, description="What it is for.", examples=["the shop's till"])]
KeyId = Annotated[
    str, Field(pattern=KEY_NAME_PATTERN, description="The part of a key that is no secret.", examples=[KEY_EXAMPLE])
]
Made = Annotated[datetime, Field(description="When it was made.", examples=[MOMENT])]
Expires = Annotated[datetime | None, Field(description="When it stops working; null for never.", examples=[MOMENT])]
Revoked = Annotated[datetime | None, Field(description="When it was revoked; null if it was not.", examples=[None])]


class NewKey(Request):
    """A key as it is asked for."""

    scopes: Annotated[
        list[KeyScope],
        Field(
            min_length=1,
            max_length=4,
            description="What it may do; nothing that the asking key may not.",
            examples=[["read", "order"]],
        ),
    ]
    says: Says = ""
    days: Annotated[
        int | None, Field(ge=1, le=MOST_DAYS, description="How many days it works; ever if left out.", examples=[365])
    ] = None


class Succession(Request):
    """How a key is replaced."""

    days: Annotated[
        int,
        Field(
            ge=0,
            le=MOST_OVERLAP,
            description="How many days the old key goes on working, at most until its own end.",
            examples=[USUAL_OVERLAP],
        ),
    ] = USUAL_OVERLAP


class Key(Envelope):
    """A key without its secret."""

    id: KeyId
    says: Says
    scopes: Scopes
    created_at: Made
    expires_at: Expires
    revoked_at: Revoked
    successor: Annotated[
        str | None, Field(description="The id of the key that takes its place; null for none.", examples=[KEY_EXAMPLE])
    ]


class MadeKey(Key):
    """A key that was just made, with what is shown this once."""

    key: Annotated[
        str,
        Field(
            description="The whole key, for the header `Authorization: Bearer`. It is not kept: write it down.",
            examples=["sw_5f0c3b7a91d2e846_…"],
        ),
    ]


class KeyList(Envelope):
    """A part of the list of keys."""

    items: list[Key]
    total: Count


class CallerWorkshop(Envelope):
    """Whose key it is."""

    id: Annotated[str, Field(description="The workshop's id.", examples=["00000000-0000-4000-8000-000000000001"])]
    name: Annotated[str, Field(description="What it is called.", examples=["This workshop"])]


class CallerForm(Envelope):
    """What the token of an order form is bound to."""

    id: KeyId
    pattern: PatternId
    origins: Annotated[list[str], Field(description="Whose pages may use it.", examples=[["https://shop.example"]])]


class CallerTold(Envelope):
    """Who asks."""

    workshop: Annotated[CallerWorkshop | None, Field(description="The workshop; null for an order form's token.")]
    key: Annotated[KeyId | None, Field(description="The key's id; null for an order form's token.")]
    scopes: Annotated[list[str], Field(description="What it may do.", examples=[["read", "order"]])]
    expires_at: Expires
    form: Annotated[CallerForm | None, Field(description="The order form; null for a key.")]
