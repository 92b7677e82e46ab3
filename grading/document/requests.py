"""Size requests: what a size is asked by."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Field, ValidationError, model_validator

from grading.document.faults import faults_of
from grading.document.frozen import TooDeep, frozen
from grading.document.values import Factor, Length, Name, Part, Reference, Text, fault
from grading.errors import RequestFaults
from grading.exact import INCH, NotANumber, read_number

GREATEST_SCALE = 100
VOLUME_UNITS = {"L": Fraction(1_000_000), "ml": Fraction(1000), "cu in": INCH**3}
"""Cubic millimetres in each unit."""
_VOLUME = re.compile(r"\s*(?P<size>[\d./ ]+?)\s*(?P<unit>L|ml|cu in)\s*")


def read_volume(text: str) -> Fraction:
    """Read a volume such as "28 L" exactly, in mm³. Raises NotANumber."""
    match = _VOLUME.fullmatch(text)
    if match is None:
        raise NotANumber(text)
    return read_number(match["size"]) * VOLUME_UNITS[match["unit"]]


def print_volume(volume: Fraction) -> str:
    """A volume in mm³ as litres with two decimals."""
    hundredths = round(volume / VOLUME_UNITS["L"] * 100)
    return f"{hundredths // 100}.{hundredths % 100:02d} L"


def _volume(value: str) -> str:
    try:
        size = read_volume(value)
    except NotANumber:
        raise fault(f"{value!r} is no volume", "write it as in '28 L', '900 ml' or '1200 cu in'") from None
    if not 0 < size <= 8 * VOLUME_UNITS["L"] * 1000:
        raise fault(f"{value} is no volume of a bag", "give one above 0 and at most 8000 L")
    return value


class Held(Part):
    """An object that the bag or a pocket has to hold in this size."""

    object: tuple[Length, Length, Length] = Field(
        description="Its width, height and depth as carried.", examples=[["330 mm", "235 mm", "20 mm"]]
    )
    in_: Reference | None = Field(
        None, alias="in", description='The use it goes into; "bag" if left out.', examples=["sleeve"]
    )
    ease: Length = Field(0, description="The room it needs besides.", examples=["10 mm"])
    stands_out: Length = Field(0, description="How much of its height may stand out.", examples=["40 mm"])
    says: Text = Field("", description="What it is.", examples=["a laptop"])


class Within(Part):
    """A box that the bag has to stay within, such as a baggage allowance."""

    box: tuple[Length, Length, Length] = Field(
        description="Its width, height and depth.", examples=[["400 mm", "300 mm", "150 mm"]]
    )
    added: Length = Field(0, description="What to leave for bulk in each direction.", examples=["20 mm"])
    turned: Literal["any", "as given"] = Field(
        "as given", description="Whether the bag may be turned to fit.", examples=["any"]
    )
    says: Text = Field("", description="What it is.", examples=["the space under a seat"])


class SizeRequest(Part):
    """A size: what is wished, given, kept, held, or stayed within; alone and together."""

    scale: Factor | None = Field(None, description="All proportional dimensions times this.", examples=["7/10"])
    set: dict[Name, Length] | None = Field(
        None, min_length=1, max_length=200, description="Dimensions that are given.", examples=[{"width": "450 mm"}]
    )
    keep: tuple[Name, ...] | None = Field(
        None, min_length=1, max_length=200, description="Dimensions that stay at base.", examples=[["depth"]]
    )
    others: Literal["in proportion", "at base"] | None = Field(
        None, description="What the other dimensions do when some are set.", examples=["at base"]
    )
    volume: Annotated[str, AfterValidator(_volume)] | None = Field(
        None, description="The room inside that is to be reached, proportions kept.", examples=["28 L"]
    )
    hold: tuple[Held, ...] | None = Field(
        None,
        min_length=1,
        max_length=20,
        description="Objects that must fit.",
        examples=[[{"object": ["330 mm", "235 mm", "20 mm"]}]],
    )
    within: Within | None = Field(
        None, description="A box that the bag must stay within.", examples=[{"box": ["400 mm", "300 mm", "150 mm"]}]
    )
    options: dict[Name, Name] | None = Field(
        None,
        max_length=50,
        description="The choice of each option; the default where none is made.",
        examples=[{"front_pocket": "none"}],
    )
    ruler: Length | None = Field(None, description="The ruler's step; the document's if left out.", examples=["1 mm"])

    @model_validator(mode="after")
    def _asks_for_something(self) -> Self:
        asked = (self.scale, self.set, self.keep, self.volume, self.hold, self.within, self.options)
        if all(part is None for part in asked):
            raise fault("it asks for nothing", "give a scale, set dimensions, a volume, or what it must hold")
        if self.scale is not None and self.volume is not None:
            raise fault("a scale and a volume are both given", "give one of the two: a volume finds its scale")
        if self.others is not None and (self.set is None or self.scale is not None or self.volume is not None):
            raise fault("'others' goes with set dimensions, without a scale or a volume", "leave it out")
        if self.scale is not None and not 0 < read_number(self.scale) <= GREATEST_SCALE:
            raise fault(f"a scale of {self.scale} is no size", f"give a scale above 0 and at most {GREATEST_SCALE}")
        both = sorted({*(self.set or ())} & {*(self.keep or ())})
        if both:
            raise fault(f"{both[0]!r} is set and kept at once", "leave one of the two")
        return self


BASE = SizeRequest(scale=1)
"""The request of the base size."""


def read_request(data: Mapping[str, Any]) -> SizeRequest:
    """Read a size request. Raises RequestFaults with all faults."""
    try:
        plain = frozen(data, "request")
        return SizeRequest.model_validate(plain)
    except TooDeep as error:
        raise RequestFaults([error.fault]) from None
    except ValidationError as error:
        raise RequestFaults(faults_of(error, plain, "request")) from None
