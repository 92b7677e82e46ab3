"""The sizes that an order form allows: a least and a greatest value for each dimension that a customer may set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Literal

from grading.document.requests import SizeRequest
from grading.exact import print_length

Others = Literal["in proportion", "at base"]
Corner = Mapping[str, Fraction]
"""A value in mm for each dimension that may be set."""


@dataclass(frozen=True)
class Box:
    """A least and a greatest value in mm for each dimension that may be set, and what the others do."""

    sides: Mapping[str, tuple[Fraction, Fraction]]
    others: Others

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
