"""Batches of sizes, as they are asked for."""

from __future__ import annotations

from copy import deepcopy
from typing import Annotated, Any, Self

from pydantic import ConfigDict, Field, model_validator
from pydantic.config import JsonDict

from api.body import MOST_VALUES
from api.schemas.base import Request, without_null

MOST_ROWS = 100_000
"""The rows that the library takes in one batch."""
MOST_COLUMNS = 20
MANY = f"Send at most {MOST_ROWS} rows, and {MOST_VALUES} values in all."
CELL: JsonDict = {"type": ["string", "number"]}
ROWS: JsonDict = {"minItems": 1, "maxItems": MOST_ROWS, "items": {"type": "array", "minItems": 1, "items": CELL}}
SCALES: JsonDict = {"minItems": 1, "maxItems": MOST_ROWS, "items": CELL}
ONE_OF_TWO: JsonDict = {
    "oneOf": [
        {"required": ["columns", "rows"]},
        {"required": ["scales"]},
    ],
    "dependentSchemas": {
        "scales": {"not": {"anyOf": [{"required": ["columns"]}, {"required": ["rows"]}, {"required": ["others"]}]}}
    },
}


def _described(schema: JsonDict) -> None:
    without_null(schema)
    schema.update(ONE_OF_TWO)
    properties = schema["properties"]
    if isinstance(properties, dict):
        for name, extra in (("rows", ROWS), ("scales", SCALES)):
            field = properties[name]
            if isinstance(field, dict):
                field.update(deepcopy(extra))


class BatchRequest(Request):
    """Sizes of one kind: lengths for the same dimensions in every row, or a scale each."""

    model_config = ConfigDict(json_schema_extra=_described)

    columns: Annotated[
        list[str] | None,
        Field(
            min_length=1,
            max_length=MOST_COLUMNS,
            description="The dimensions that every row sets.",
            examples=[["width", "height"]],
        ),
    ] = None
    rows: Annotated[
        list[Any] | None,
        Field(
            description="Lengths for the columns, row by row; numbers are in the pattern's unit.",
            examples=[[[320, 410], ["12 1/2 in", "16 in"]]],
        ),
    ] = None
    scales: Annotated[
        list[Any] | None,
        Field(description="A scale for each row.", examples=[["7/10", 1.25]]),
    ] = None
    others: Annotated[
        str | None,
        Field(
            pattern="^(in proportion|at base)$",
            description="What the dimensions do that are no columns.",
            examples=["at base"],
        ),
    ] = None
    options: Annotated[
        dict[str, str] | None,
        Field(description="The choices of the pattern's options.", examples=[{"front_pocket": "none"}]),
    ] = None

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.scales is None) == (self.rows is None and self.columns is None):
            raise ValueError("A batch has columns with rows, or scales.")
        return self
