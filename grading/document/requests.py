"""Size requests: what a size is asked by."""

from collections.abc import Mapping
from typing import Any, Literal, Self

from pydantic import Field, ValidationError, model_validator

from grading.document.faults import faults_of
from grading.document.values import Factor, Length, Name, Part, fault
from grading.errors import RequestFaults
from grading.exact import read_number


class SizeRequest(Part):
    """A size: a scale, or set dimensions."""

    scale: Factor | None = Field(None, description="All proportional dimensions times this.", examples=["7/10"])
    set: dict[Name, Length] | None = Field(
        None, min_length=1, max_length=200, description="Dimensions that are given.", examples=[{"width": "450 mm"}]
    )
    others: Literal["in proportion", "at base"] | None = Field(
        None, description="What the other dimensions do when some are set.", examples=["at base"]
    )
    ruler: Length | None = Field(None, description="The ruler's step; the document's if left out.", examples=["1 mm"])

    @model_validator(mode="after")
    def _scale_or_set(self) -> Self:
        if (self.scale is None) == (self.set is None):
            raise fault("a size has either a scale or set dimensions", "give one of the two")
        if self.scale is not None and self.others is not None:
            raise fault("'others' goes with set dimensions", "leave it out")
        if self.scale is not None and not 0 < read_number(self.scale) <= 100:
            raise fault(f"a scale of {self.scale} is no size", "give a scale above 0 and at most 100")
        return self


BASE = SizeRequest(scale=1)
"""The request of the base size."""


def read_request(data: Mapping[str, Any]) -> SizeRequest:
    """Read a size request. Raises RequestFaults with all faults."""
    try:
        return SizeRequest.model_validate(dict(data))
    except ValidationError as error:
        raise RequestFaults(faults_of(error, data, "request")) from None
