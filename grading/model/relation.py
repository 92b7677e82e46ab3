"""Relations: equations and inequalities between dimensions, each with its origin and the designer's reason."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from grading.form import Form


class Sense(Enum):
    """What a relation says of its form."""

    EQUAL = "= 0"
    NOT_BELOW = ">= 0"


class Origin(Enum):
    """Where a relation comes from."""

    LIMITS = "limits"
    FIXED = "fixed"
    STOCK = "stock"
    ASKED = "asked"
    KEPT = "kept"
    HOLD = "hold"
    WITHIN = "within"
    OUTLINE = "outline"
    SEAM = "seam"
    NOTCH = "notch"
    COVERING = "covering"
    CONTENTS = "contents"
    FINDING = "finding"
    RULE = "rule"
    CLOTH = "cloth"


@dataclass(frozen=True)
class Relation:
    """`form` is equal to, or not below, zero.

    `id` is its name in proofs (section 4 of the reference), `says` states it in a maker's words, `because` is the
    reason a customer reads, `path` the place in the document. On the ruler an equation holds exactly where
    `tolerance` is None, else within `tolerance` mm; inequalities have no tolerance.
    """

    id: str
    origin: Origin
    form: Form
    sense: Sense
    says: str
    because: str
    path: str
    tolerance: Fraction | None = None

    @property
    def is_equation(self) -> bool:
        """Whether it is an equation."""
        return self.sense is Sense.EQUAL
