"""Rules: what the designer wants to hold, and why."""

import re
from typing import Annotated

from pydantic import AfterValidator, Field

from grading.document.choices import When
from grading.document.expressions import ExpressionFault, parse
from grading.document.values import Part, Text, fault
from grading.exact import looks_like_length

COMPARISON = re.compile(r"(?P<left>[^<>=]+)(?P<sign><=|>=|==)(?P<right>[^<>=]+)")


def _comparison(value: str) -> str:
    match = COMPARISON.fullmatch(value)
    if match is None:
        raise fault(f"{value[:80]!r} compares nothing", "write it as in 'handle_length >= 600', with >=, <= or ==")
    for side in (match["left"], match["right"]):
        if not looks_like_length(side):
            try:
                parse(side)
            except ExpressionFault as broken:
                raise fault(broken.problem, broken.remedy) from None
    return value


class Rule(Part):
    """Something that must hold in every size."""

    holds: Annotated[str, AfterValidator(_comparison)] = Field(
        description="Two expressions compared with >=, <= or ==.", examples=["handle_length >= 600"]
    )
    because: Text = Field(
        min_length=1,
        description="The reason, for whoever asks for a size that it forbids.",
        examples=["the handles go over a shoulder"],
    )
    when: When
