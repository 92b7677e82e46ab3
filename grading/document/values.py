"""The kinds of value that fields of a pattern document hold, as pydantic types that explain themselves."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints
from pydantic_core import PydanticCustomError

from grading.document.expressions import RESERVED, ExpressionFault, parse
from grading.exact import NotALength, NotANumber, looks_like_length, read_length, read_number, read_percentage, shown

MOST_NAME = 60
MOST_TEXT = 2000


class Part(BaseModel):
    """The base of all parts of a document: immutable, strict, without unknown fields."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", allow_inf_nan=False)


def fault(problem: str, remedy: str) -> PydanticCustomError:
    """An error of a field's value with its remedy."""
    return PydanticCustomError("sizewright", "{problem}", {"problem": problem, "remedy": remedy})


def _length(value: str | float) -> str | float:
    try:
        read_length(value)
    except NotALength:
        raise fault(
            f"{shown(value)} is no length", "write it as in '12.5 mm', '3 1/8 in', '1.2 m', or a number"
        ) from None
    return value


def _expression(value: str | float) -> str | float:
    if isinstance(value, str) and not looks_like_length(value):
        try:
            parse(value)
        except ExpressionFault as broken:
            raise fault(broken.problem, broken.remedy) from None
        return value
    return _length(value)


def _factor(value: str | float) -> str | float:
    try:
        read_number(value)
    except NotANumber:
        raise fault(f"{shown(value)} is no factor", "write it as in '7/10', '1.25' or 2") from None
    return value


def _percentage(value: str) -> str:
    if read_percentage(value) is None:
        raise fault(f"{shown(value)} is no percentage", "write it as in '3 %'")
    return value


def _ease(value: str | float) -> str | float:
    if isinstance(value, str) and read_percentage(value) is not None:
        return value
    return _expression(value)


_NAME = re.compile(rf"[a-z][a-z0-9_]{{0,{MOST_NAME - 1}}}")


def _name(value: str) -> str:
    if not _NAME.fullmatch(value):
        raise fault(
            f"{value[:80]!r} is no name",
            f"use small letters, digits and _, beginning with a letter, at most {MOST_NAME}",
        )
    if value in RESERVED:
        raise fault(f"{value!r} has a meaning of its own in expressions", "choose another name")
    return value


def _text(value: str) -> str:
    if any(ord(character) < 32 and character != "\n" for character in value):
        raise fault("the text has control characters", "leave them out")
    if len(value) > MOST_TEXT:
        raise fault(f"the text has {len(value)} characters", f"use at most {MOST_TEXT}")
    return value


Length = Annotated[str | int | float, AfterValidator(_length)]
"""A length: "12.5 mm", or a number in the document's unit."""

Expression = Annotated[str | int | float, AfterValidator(_expression)]
"""A length, or arithmetic over dimensions."""

Ease = Annotated[str | int | float, AfterValidator(_ease)]
"""A length, an expression or a percentage."""

Factor = Annotated[str | int | float, AfterValidator(_factor)]
"""A plain number or a quotient."""

Percentage = Annotated[str, AfterValidator(_percentage)]
"""A percentage: "3 %"."""

Name = Annotated[str, StringConstraints(max_length=200), AfterValidator(_name)]
"""A name: small letters, digits and underscores."""

Text = Annotated[str, StringConstraints(max_length=MOST_TEXT + 1000), AfterValidator(_text)]
"""Free text."""

Reference = Annotated[str, StringConstraints(max_length=200, pattern=r"^[a-z0-9_. ]+$")]
"""The name of an edge, notch or line of a use: "front.top"."""
