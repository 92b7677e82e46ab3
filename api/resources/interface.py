"""The interface described: OpenAPI, the schema of pattern documents, and the kinds of problems."""

from __future__ import annotations

from typing import Annotated, Any

import msgspec
from litestar import Controller, Response, get
from litestar.datastructures import State
from litestar.params import PathParameter

from api.access.scopes import OPEN, asks
from api.description import pattern_schema
from api.operations.errors import Missing
from api.problems import KINDS, documented
from api.resources.answers import raw
from api.schemas.problems import ProblemKind

KindPath = Annotated[str, PathParameter(pattern=r"^[a-z-]{1,40}$", description="The kind's name.")]
SCHEMA_JSON = "application/schema+json"


class InterfaceController(Controller):
    """What programs need to know about this interface."""

    tags = ("Interface",)
    opt = asks(OPEN)

    @get("/openapi.json", operation_id="readInterface", summary="Read this description", responses=documented())
    async def interface(self, state: State) -> Response[dict[str, Any]]:
        """Gives this description, OpenAPI 3.1."""
        return raw(state.interface())

    @get(
        "/schemas/pattern.json",
        operation_id="readPatternSchema",
        summary="Read the schema of pattern documents",
        media_type=SCHEMA_JSON,
        responses=documented(),
    )
    async def schema(self) -> Response[dict[str, Any]]:
        """Gives the JSON Schema (2020-12) of pattern documents."""
        return raw(msgspec.json.encode(pattern_schema()), SCHEMA_JSON)

    @get(
        "/problems/{kind:str}",
        operation_id="readProblemKind",
        summary="Read what a kind of problem means",
        responses=documented(),
    )
    async def problem(self, kind: KindPath) -> ProblemKind:
        """Explains a kind of problem."""
        if kind not in KINDS:
            raise Missing("kind of problem", kind)
        found = KINDS[kind]
        return ProblemKind(type=f"/problems/{kind}", title=found.title, status=found.status, says=found.says)
