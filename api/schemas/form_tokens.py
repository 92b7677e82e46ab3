"""Tokens with which an order form works on a shop's pages."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from api.access.origins import LONGEST
from api.schemas.base import Count, Envelope, PatternId, Request
from api.schemas.keys import KeyId, Made, Revoked, Says

MOST_ORIGINS = 20
Origins = Annotated[list[str], Field(description="Whose pages may use it.", examples=[["https://shop.example"]])]


class NewFormToken(Request):
    """An order form as it is asked for."""

    origins: Annotated[
        list[Annotated[str, Field(max_length=LONGEST)]],
        Field(
            min_length=1,
            max_length=MOST_ORIGINS,
            description="The pages that may use it, each by scheme, host and port as in the header Origin.",
            examples=[["https://shop.example"]],
        ),
    ]
    says: Says = ""


class FormToken(Envelope):
    """An order form's token without its secret."""

    id: KeyId
    pattern: PatternId
    says: Says
    origins: Origins
    created_at: Made
    revoked_at: Revoked


class MadeFormToken(FormToken):
    """A token that was just made, with what is shown this once."""

    token: Annotated[
        str,
        Field(
            description="The whole token, for the header `Authorization: Bearer`. Pages may hold it: whoever has it "
            "can read this pattern's order form, and ask for quotes and orders. It is not kept.",
            examples=["swf_5f0c3b7a91d2e846_…"],
        ),
    ]


class FormTokenList(Envelope):
    """A part of the list of a pattern's tokens."""

    items: list[FormToken]
    total: Count
