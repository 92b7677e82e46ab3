"""The sizes that an order form allows: a least and a greatest value for each dimension that a customer may set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Literal

from grading.document import Pattern
from grading.document.requests import SizeRequest
from grading.errors import Fault, RequestFaults
from grading.exact import NotALength, print_length, read_length

GREATEST_BOX = 8
"""Dimensions that a box may have; its corners are two to this number."""
Others = Literal["in proportion", "at base"]
Corner = Mapping[str, Fraction]
"""A value in mm for each dimension that may be set."""


@dataclass(frozen=True)
class Box:
    """A least and a greatest value in mm for each dimension that may be set, and what the others do."""

    sides: Mapping[str, tuple[Fraction, Fraction]]
    others: Others

    @classmethod
    def of(cls, pattern: Pattern, choose: Mapping[str, tuple[str | float, str | float]], others: Others) -> Box:
        """The box between lengths as they are written. Raises RequestFaults with all that is wrong with them."""
        faults = (
            []
            if choose
            else [Fault("choose", "no dimension is named", "name one with its least and its greatest value")]
        )
        if len(choose) > GREATEST_BOX:
            faults.append(Fault("choose", f"{len(choose)} dimensions are too many", f"name at most {GREATEST_BOX}"))
        sides = {}
        for name, ends in choose.items():
            try:
                least, most = (read_length(end, pattern.unit) for end in ends)
            except NotALength as error:
                faults.append(Fault(f"choose.{name}", str(error), "write it as in 300mm..420mm"))
                continue
            sides[name] = (least, most)
            if not 0 < least <= most:
                ends_text = f"{print_length(least)} to {print_length(most)}"
                faults.append(Fault(f"choose.{name}", f"{ends_text} is no range", "give the least first, above 0"))
        if faults:
            raise RequestFaults(faults)
        return cls(sides, others)

    def corners(self) -> Iterator[dict[str, Fraction]]:
        """All corners: 2 to the number of dimensions."""
        for ends in product(*self.sides.values()):
            yield dict(zip(self.sides, ends, strict=True))

    @property
    def middle(self) -> dict[str, Fraction]:
        """The middle of the box."""
        return {name: (least + most) / 2 for name, (least, most) in self.sides.items()}

    def request(self, values: Corner) -> SizeRequest:
        """The request of one size in the box."""
        return SizeRequest(set={name: print_length(value) for name, value in values.items()}, others=self.others)

    def towards(self, point: Corner, share: Fraction) -> Box:
        """The box drawn towards a point within it: all of it for a share of 1, the point alone for 0."""
        return Box(
            {
                name: (point[name] + (least - point[name]) * share, point[name] + (most - point[name]) * share)
                for name, (least, most) in self.sides.items()
            },
            self.others,
        )

    def with_side(self, name: str, least: Fraction, most: Fraction) -> Box:
        """The box with one other side."""
        return Box({**self.sides, name: (least, most)}, self.others)
