"""Relations: what must be equal, or not below, at the printed dimensions and at the nearest size."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from grading.verify.exact.enclosures import PI
from grading.verify.exact.forms import PI_MARK, Form
from grading.verify.exact.fraction import Fraction

EQUAL = "="
NOT_BELOW = ">="
# Kinds whose 0 = 0 stays a relation: it is implied.
KEPT_KINDS = frozenset({"seam", "notch", "covering"})
EXACT = Fraction(0)


@dataclass(frozen=True, eq=False)
class Relation:
    """left = right, or left ≥ right, within `slack` mm at the printed dimensions; exact at the nearest size."""

    name: str
    left: Form
    right: Form
    sense: str
    slack: Fraction
    says: str

    @property
    def kind(self) -> str:
        """The kind, which is the first part of the name."""
        return self.name.partition(":")[0]

    @cached_property
    def form(self) -> Form:
        """left - right: equal to 0, or not below 0."""
        return self.left - self.right

    @property
    def is_equation(self) -> bool:
        """Whether both sides are equal."""
        return self.sense == EQUAL

    @property
    def counts(self) -> bool:
        """Whether it is a relation at all: what is constant and holds is none, apart from implied equations."""
        if not self.form.is_constant or self.form.has_root:
            return True
        if self.is_equation:
            return not self.form.is_zero or self.kind in KEPT_KINDS
        low = min(_constant_value(self.form, pi) for pi in PI)
        return low < 0


def _constant_value(form: Form, pi: Fraction) -> Fraction:
    value = form.terms.get("", 0) + form.terms.get(PI_MARK, 0) * pi
    return value / form.below
