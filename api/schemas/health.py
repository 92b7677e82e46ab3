"""The state of the server."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from api.schemas.base import Envelope

Version = Annotated[str, Field(description="The version of the server.", examples=["0.1.0"])]
Ok = Annotated[Literal["ok"], Field(description="Always `ok`; anything else is a problem.")]


class Health(Envelope):
    """The server is alive."""

    status: Ok
    version: Version


class Readiness(Envelope):
    """The server can do its work: everything that it needs is there."""

    status: Annotated[Literal["ready"], Field(description="Always `ready`; anything else is a problem.")]
    version: Version
    database: Ok
    migrations: Ok
    workers: Ok
