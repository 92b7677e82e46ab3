"""Jobs: work that outlasts its request."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field
from pydantic.config import JsonDict

from api.schemas.base import HASH_EXAMPLE, Envelope, JobId
from api.schemas.problems import Problem

State = Literal["waiting", "working", "done", "failed", "cancelled"]


class ClothProgress(Envelope):
    """How far the search for one cloth has come."""

    length: Annotated[str, Field(description="The shortest layout found so far.", examples=["912 mm"])]
    least: Annotated[str, Field(description="A length that none is below.", examples=["890 mm"])]
    above: Annotated[str, Field(description="How far above that it may be.", examples=["as short as can be"])]


def _described(schema: JsonDict) -> None:
    schema["examples"] = [
        {
            "id": "4b2f0a9e-6c1d-4f0e-9a57-0d3c5f1b7a26",
            "kind": "layouts",
            "state": "done",
            "progress": {
                "main": {"length": "912 mm", "least": "890 mm", "above": "at most 2.5 % above the least possible"}
            },
            "result": f"/layouts/{HASH_EXAMPLE}",
        }
    ]


class Job(Envelope):
    """A job as it stands now."""

    model_config = ConfigDict(json_schema_extra=_described)

    id: JobId
    kind: Annotated[str, Field(description="What it does.", examples=["layouts"])]
    state: Annotated[State, Field(description="How far it has come.", examples=["working"])]
    progress: Annotated[dict[str, ClothProgress], Field(description="How far each cloth has come.")]
    result: Annotated[str | None, Field(description="Where what it has made lies; null until it is done.")]
    problem: Annotated[Problem | None, Field(description="What stood in the way, where it failed.")] = None
