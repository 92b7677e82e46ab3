"""The sizes that an order form allows: a least and a greatest value for each dimension that a customer may set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Literal

from grading.document import Pattern
from grading.document.names import order_faults
from grading.document.requests import SizeRequest
from grading.errors import Fault, RequestFaults
from grading.exact import print_length, read_length

Others = Literal["in proportion", "at base"]
Choose = Mapping[str, tuple[str | float, str | float]]
"""The least and the greatest length of each dimension that may be set, as written."""
Corner = Mapping[str, Fraction]
"""A value in mm for each dimension that may be set."""


@dataclass(frozen=True)
class Box:
    """A least and a greatest value in mm for each dimension that may be set, and what the others do."""

    sides: Mapping[str, tuple[Fraction, Fraction]]
    others: Others

    @classmethod
    def of(cls, pattern: Pattern, choose: Choose | None = None, others: Others | None = None) -> Box:
        """The box between lengths as they are written; those of the pattern's own order form where none are given.

        Raises RequestFaults with all that is wrong with them.
        """
        order = pattern.order
        if choose is None and (order is None or order.choose is None):
            raise RequestFaults(
                [
                    Fault(
                        "choose",
                        "the pattern has no order form with measures of its own",
                        "name the least and greatest of a dimension",
                    )
                ]
            )
        if choose is None and order is not None:
            choose, others = order.choose, others or order.others
        faults = tuple(order_faults(choose or {}, pattern, "choose"))
        if faults:
            raise RequestFaults(faults)
        unit = pattern.unit
        ends = {
            name: (read_length(least, unit), read_length(most, unit)) for name, (least, most) in (choose or {}).items()
        }
        return cls(ends, others or "at base")

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
