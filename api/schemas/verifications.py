"""Verifications: a second program's judgement."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import ConfigDict, Field, JsonValue, model_validator
from pydantic.config import JsonDict

from api.schemas.base import Envelope, GradeId, Request, without_null
from api.schemas.patterns import Document

_FIELDS = ("grade_id", "document", "grade", "measured")
_USES = (frozenset({"grade_id"}), frozenset({"document", "grade"}), frozenset({"document", "measured"}))


def _only(use: frozenset[str]) -> JsonDict:
    others: list[JsonValue] = [{"required": [name]} for name in _FIELDS if name not in use]
    required: list[JsonValue] = [*sorted(use)]
    return {"required": required, "not": {"anyOf": others}}


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema["oneOf"] = [_only(use) for use in _USES]


class VerificationRequest(Request):
    """A stored grade, or a pattern document with a grade or with pieces measured at the table."""

    model_config = ConfigDict(json_schema_extra=_described)

    grade_id: GradeId | None = None
    document: Document | None = None
    grade: Annotated[dict[str, Any] | None, Field(description="A grade as it was sent out, changed or not.")] = None
    measured: Annotated[dict[str, Any] | None, Field(description="Edges measured at the table.")] = None

    @model_validator(mode="after")
    def _one_use(self) -> Self:
        if frozenset(name for name in _FIELDS if getattr(self, name) is not None) not in _USES:
            raise ValueError(
                "A verification takes a grade_id alone, a document with a grade, or a document with measured pieces."
            )
        return self


class Verdict(Envelope):
    """What the independent verifier says."""

    model_config = ConfigDict(extra="allow")
