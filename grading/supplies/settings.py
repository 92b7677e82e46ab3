"""What a maker may set about supplies and bulk, each with what is usual."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, StringConstraints, ValidationError

from grading.document.faults import faults_of
from grading.document.frozen import TooDeep, frozen
from grading.document.values import Factor, Length, Part, Percentage, fault
from grading.errors import RequestFaults
from grading.exact import INCH, Ruler, print_number, read_length, read_number, read_percentage
from grading.supplies.lengths import sold_text, unit_of_sale

Pressed = Literal["apart", "aside"]
METRIC_CORNER = Fraction(25)
"""What a mitred corner takes of a binding, in mm; common practice, no source. 1 in on rulers in inches."""
ROOT = "settings"
MOST_WASTE = Fraction(5)


def _waste(value: str) -> str:
    if not 0 <= (read_percentage(value) or 0) <= MOST_WASTE:
        raise fault(f"{value} is no waste", "give a percentage from 0 % to 500 %")
    return value


def _stitches(value: str | float) -> str | float:
    if not 1 <= read_number(value) <= 60:
        raise fault(f"{value} stitches an inch cannot be sewn", "give from 1 to 60")
    return value


def _ratio(value: str | float) -> str | float:
    if not 0 < read_number(value) <= 100:
        raise fault(f"{value} is no ratio of thread to seam", "give a number above 0 and at most 100, as measured")
    return value


def _above_nothing(value: str | float) -> str | float:
    if read_length(value) <= 0:
        raise fault(f"{value} is not above 0", "give a length above 0")
    return value


def _not_below_nothing(value: str | float) -> str | float:
    if read_length(value) < 0:
        raise fault(f"{value} is below 0", "give a length of 0 or more")
    return value


AboveNothing = Annotated[Length, AfterValidator(_above_nothing)]
NotBelowNothing = Annotated[Length, AfterValidator(_not_below_nothing)]
StitchClass = Annotated[str, StringConstraints(max_length=3, pattern=r"^[1-8][0-9]{2}$")]


class WrittenSettings(Part):
    """Settings of supplies and bulk as they are asked for; what is left out is as usual."""

    waste: Annotated[Percentage, AfterValidator(_waste)] | None = Field(
        None, description="What is added to the thread for ends, trials and mistakes.", examples=["15 %"]
    )
    stitches_per_inch: Annotated[Factor, AfterValidator(_stitches)] | None = Field(
        None, description="Stitches in an inch of seam.", examples=[10]
    )
    reel: AboveNothing | None = Field(None, description="The length of thread on a reel.", examples=["100 m"])
    unit: AboveNothing | None = Field(
        None, description="What webbing, elastic and binding are sold by.", examples=["10 cm", "1/8 yd"]
    )
    corner: NotBelowNothing | None = Field(
        None, description="What each mitred corner takes of a binding.", examples=["25 mm"]
    )
    tape: NotBelowNothing | None = Field(None, description="The thickness of a zip's tape.", examples=["0.6 mm"])
    ratios: dict[StitchClass, Annotated[Factor, AfterValidator(_ratio)]] | None = Field(
        None,
        max_length=40,
        description="Lengths of thread for one of seam by class of stitch, as measured by pulling a seam out.",
        examples=[{"401": "5.4"}],
    )
    lift: AboveNothing | None = Field(None, description="How thick the machine can sew.", examples=["6 mm"])
    pressed: Pressed | None = Field(
        None, description="Whether allowances are pressed apart, or both to one side.", examples=["apart"]
    )


@dataclass(frozen=True)
class SupplySettings:
    """Settings in full; lengths in mm."""

    unit: Fraction
    corner: Fraction
    waste: Fraction = Fraction(15, 100)
    """Common practice; apparelscience.com, "Measuring actual thread consumption", adds as much."""
    stitches_per_inch: Fraction = Fraction(10)
    """Common practice, no source."""
    reel: Fraction = Fraction(100_000)
    """Common practice, no source."""
    tape: Fraction = Fraction(6, 10)
    """Common practice, no source."""
    ratios: Mapping[str, Fraction] | None = None
    lift: Fraction = Fraction(6)
    """A household machine lifts 6 to 8 mm; common practice, no source."""
    pressed: Pressed = "apart"

    def ratio(self, stitch: str) -> Fraction | None:
        """The measured ratio of a class of stitch, if one is given."""
        return (self.ratios or {}).get(stitch)


def usual_settings(ruler: Ruler) -> SupplySettings:
    """What is usual in the ruler's system."""
    return SupplySettings(unit_of_sale(ruler), INCH if ruler.in_inches else METRIC_CORNER)


def read_supply_settings(data: Mapping[str, Any] | None, ruler: Ruler, unit: str = "mm") -> SupplySettings:
    """Read settings from parsed JSON; bare numbers are lengths in `unit`. Raises RequestFaults with all faults."""
    usual = usual_settings(ruler)
    if not data:
        return usual
    try:
        plain = frozen(data, ROOT)
        written = WrittenSettings.model_validate(plain)
    except TooDeep as error:
        raise RequestFaults([error.fault]) from None
    except ValidationError as error:
        raise RequestFaults(faults_of(error, plain, ROOT)) from None

    def length(value: str | float | None, else_: Fraction) -> Fraction:
        return else_ if value is None else read_length(value, unit)

    stitches = written.stitches_per_inch
    return SupplySettings(
        unit=length(written.unit, usual.unit),
        corner=length(written.corner, usual.corner),
        waste=usual.waste if written.waste is None else read_percentage(written.waste) or Fraction(0),
        stitches_per_inch=usual.stitches_per_inch if stitches is None else read_number(stitches),
        reel=length(written.reel, usual.reel),
        tape=length(written.tape, usual.tape),
        ratios={stitch: read_number(ratio) for stitch, ratio in (written.ratios or {}).items()},
        lift=length(written.lift, usual.lift),
        pressed=written.pressed or usual.pressed,
    )


def write_thread_settings(settings: SupplySettings, ruler: Ruler) -> dict[str, Any]:
    """The settings that supplies go by, in full, as plain data."""
    return {
        "waste": f"{print_number(settings.waste * 100)} %",
        "stitches_per_inch": print_number(settings.stitches_per_inch),
        "reel": sold_text(ruler, settings.reel),
        "unit": sold_text(ruler, settings.unit),
        "corner": ruler.text(settings.corner),
        "tape": ruler.text(settings.tape),
        "ratios": {stitch: print_number(ratio) for stitch, ratio in (settings.ratios or {}).items()},
    }


def write_bulk_settings(settings: SupplySettings, ruler: Ruler) -> dict[str, Any]:
    """The settings that bulk goes by, in full, as plain data."""
    return {
        "lift": ruler.text(settings.lift),
        "pressed": settings.pressed,
        "tape": ruler.text(settings.tape),
    }
