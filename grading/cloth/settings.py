"""Settings of layouts: how the cloth is cut, how close to lay, what to keep to spare, other cloths than written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, ValidationError

from grading.document.faults import faults_of
from grading.document.frozen import TooDeep, frozen
from grading.document.materials import Repeat, Shrinkage
from grading.document.values import Length, Name, Part, Percentage, fault
from grading.errors import Fault, LayoutFaults
from grading.exact import read_length, read_percentage

Style = Literal["scissors", "rotary", "folded"]
Effort = Literal["quick", "usual", "thorough"]
Direction = Literal["any", "two-way", "one-way"]

GREATEST_GAP = Fraction(100)
"""100 mm: no blade needs more between two pieces, and no edge of a cloth is wider; common practice, no source."""
GREATEST_SEED = 2**31 - 1


def _some(value: str | float) -> str | float:
    if not 0 < read_length(value) <= 20_000:
        raise fault(f"{value!r} is out of range", "give a length above 0 mm and at most 20 m")
    return value


def _small(value: str | float) -> str | float:
    if not 0 <= read_length(value) <= GREATEST_GAP:
        raise fault(f"{value!r} is out of range", "give a length from 0 mm to 100 mm")
    return value


def _share(value: str) -> str:
    if not 0 <= (read_percentage(value) or 0) <= 1:
        raise fault(f"{value!r} is out of range", "give a percentage from 0 % to 100 %")
    return value


SomeLength = Annotated[Length, AfterValidator(_some)]
SmallLength = Annotated[Length, AfterValidator(_small)]


class ClothSettings(Part):
    """What of one cloth is other than the document says."""

    style: Style | None = Field(None, description="How this one is cut, in place of the others.", examples=["scissors"])
    usable_width: SomeLength | None = Field(None, description="Its usable width, as bought.", examples=["1120 mm"])
    direction: Direction | None = Field(None, description="Which ways up it may be used.", examples=["one-way"])
    repeat: Repeat | None = Field(None, description="The repeat of its print, as bought.", examples=[{"across": 160}])
    sold_by: SomeLength | None = Field(None, description="The least length that a shop sells.", examples=["25 cm"])
    tested: Shrinkage | None = Field(
        None,
        description="What a washed sample has shown it to shrink, in place of what the document says.",
        examples=[{"along": "4 %", "across": "1 %"}],
    )


class LayoutSettings(Part):
    """How pieces are laid; every field has a default."""

    style: Style = Field("scissors", description="How the cloth is cut.", examples=["rotary"])
    gap: SmallLength = Field("0 mm", description="What the blade needs between pieces.", examples=["3 mm"])
    edge: SmallLength = Field("0 mm", description="What is kept clear at both sides of the width.", examples=["10 mm"])
    spare: Annotated[Percentage, AfterValidator(_share)] = Field(
        "5 %", description="What is bought besides what is needed.", examples=["10 %"]
    )
    bias: Literal["strips", "continuous"] = Field(
        "strips", description="How bias binding is cut from its block.", examples=["continuous"]
    )
    effort: Effort = Field("usual", description="How long a short layout is searched for.", examples=["thorough"])
    seed: int = Field(0, ge=0, le=GREATEST_SEED, description="Which search; the same gives the same.", examples=[1])
    widths: tuple[SomeLength, ...] | None = Field(
        None, max_length=12, description="Other usable widths to tell of.", examples=[["1120 mm", "1400 mm"]]
    )
    offcut: SomeLength = Field(
        "50 mm", description="How long and wide an offcut is at least that is told of.", examples=["100 mm"]
    )
    cloths: dict[Name, ClothSettings] = Field(
        {}, max_length=50, description="Other cloths than written, by role.", examples=[{"main": {"direction": "any"}}]
    )


def read_settings(data: Mapping[str, Any] | LayoutSettings | None, root: str = "settings") -> LayoutSettings:
    """Read the settings of layouts from parsed JSON. Raises LayoutFaults with every fault of their form."""
    if isinstance(data, LayoutSettings):
        return data
    try:
        plain = frozen({} if data is None else data, root)
    except TooDeep as error:
        raise LayoutFaults([error.fault]) from None
    try:
        return LayoutSettings.model_validate(plain)
    except ValidationError as error:
        raise LayoutFaults(faults_of(error, plain, root)) from None


def unused_cloths(settings: LayoutSettings, used: Mapping[str, Any], root: str = "settings") -> Iterator[Fault]:
    """Cloths that settings speak of and no piece is cut from."""
    for role in settings.cloths:
        if role not in used:
            known = ", ".join(used) or "no cloth"
            yield Fault(f"{root}.cloths.{role}", f"no piece is cut from {role!r}", f"pieces are cut from {known}")
