"""The state of the server."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from api.schemas.base import Envelope


class Health(Envelope):
    """The server answers, and so does its storage."""

    status: Annotated[Literal["ok"], Field(description="Always `ok`; anything else is a problem.")]
    version: Annotated[str, Field(description="The version of the server.", examples=["0.1.0"])]
    database: Annotated[Literal["ok"], Field(description="Always `ok`; anything else is a problem.")]
