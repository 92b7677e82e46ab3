"""What all envelopes have in common."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic.config import JsonDict

HASH_PATTERN = r"^[0-9a-f]{64}$"
UUID_PATTERN = r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"
NAME_PATTERN = r"^[a-z][a-z0-9_]*$"
OPTIONS_PATTERN = r"^[a-z][a-z0-9_]{0,59}:[a-z][a-z0-9_]{0,59}(,[a-z][a-z0-9_]{0,59}:[a-z][a-z0-9_]{0,59}){0,19}$"
"""Options with their choices in an address, as in `front:none,closure:zip`."""
LIT_PATTERN = r"^(seam|piece|edge|covering):[a-z][a-z0-9_]{0,59}(\.[a-z][a-z0-9_]{0,59})?$"
"""What is lit in a drawing, as in `seam:side` or `edge:panel.top`."""
STATE_PATTERN = r"^(placed|accepted|cutting|sewing|ready|sent|cancelled)$"
MOST_COUNT = 2**31 - 1

HASH_EXAMPLE = "3f786850e387550fdab836ed7e6dc881de23001b9d2e8a6f4c0a1b2c3d4e5f60"
UUID_EXAMPLE = "4b2f0a9e-6c1d-4f0e-9a57-0d3c5f1b7a26"

PatternId = Annotated[
    str, Field(pattern=UUID_PATTERN, description="A pattern's name for machines.", examples=[UUID_EXAMPLE])
]
RevisionId = Annotated[
    str, Field(pattern=HASH_PATTERN, description="A revision, named by its content.", examples=[HASH_EXAMPLE])
]
GradeId = Annotated[
    str, Field(pattern=HASH_PATTERN, description="A grade, named by what it was made from.", examples=[HASH_EXAMPLE])
]
LayoutsId = Annotated[
    str, Field(pattern=HASH_PATTERN, description="Layouts, named by what they are.", examples=[HASH_EXAMPLE])
]
JobId = Annotated[str, Field(pattern=UUID_PATTERN, description="A job's name for machines.", examples=[UUID_EXAMPLE])]
SizeName = Annotated[
    str,
    Field(
        pattern=NAME_PATTERN, max_length=60, description="A named size of the pattern, or `base`.", examples=["mini"]
    ),
]
Count = Annotated[int, Field(ge=0, le=MOST_COUNT, description="How many there are.", examples=[3])]


class Envelope(BaseModel):
    """A frozen object that refuses unknown fields and guesses nothing."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, hide_input_in_errors=True)


def without_null(schema: JsonDict) -> None:
    """Fields that may be left out are described as what they are when they are there."""
    properties = schema.get("properties")
    for name, field in properties.items() if isinstance(properties, dict) else ():
        choices = field.get("anyOf") if isinstance(field, dict) else None
        if isinstance(field, dict) and isinstance(properties, dict) and isinstance(choices, list):
            kept = [choice for choice in choices if choice != {"type": "null"}]
            rest = {key: value for key, value in field.items() if key not in ("anyOf", "default")}
            properties[name] = {**kept[0], **rest} if isinstance(kept[0], dict) else field


class Request(Envelope):
    """An envelope whose optional fields are left out rather than null."""

    model_config = ConfigDict(json_schema_extra=without_null)

    @model_validator(mode="after")
    def _nothing_null(self) -> Self:
        if empty := sorted(name for name in self.model_fields_set if getattr(self, name) is None):
            raise ValueError(f"Leave out {', '.join(empty)} rather than writing null.")
        return self
