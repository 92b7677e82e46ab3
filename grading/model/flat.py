"""Flats: parts of rings and unrolled cones, whose edges have forms for their lengths but whose points have none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.document.index import inner_radius, is_nothing
from grading.document.pieces import ConeOutline, SectorOutline
from grading.exact import enclose_pi, enclose_root, read_number
from grading.form import Form, hypotenuse
from grading.model.draft import Draft
from grading.model.segment import Edge


@dataclass(frozen=True)
class Flat:
    """A part of a ring: outer and inner are its radii, or those of the cone that it is the flat of.

    outer, inner  of a sector its radii; of a cone those of its bottom and its top
    height        of a cone, upright; None of a sector
    part          of a sector its turn, of a cone its share: the part of the full way round
    """

    outer: Form
    inner: Form
    height: Form | None
    part: Fraction

    @property
    def measures(self) -> dict[str, Form]:
        """What of it must lie on the ruler, in a maker's words."""
        if self.height is None:
            return {"outer radius": self.outer, "inner radius": self.inner}
        return {"bottom radius": self.outer, "top radius": self.inner, "height": self.height}

    @property
    def side(self) -> Form:
        """The length of its straight sides."""
        breadth = self.outer - self.inner
        return breadth if self.height is None else hypotenuse(breadth, self.height)

    def rolled(self, values: Mapping[str, Fraction]) -> tuple[Fraction, Fraction, Fraction]:
        """Its outer and inner radius as it lies flat, in mm, and its angle in radians, to about 40 digits."""
        outer, inner = (form.enclosure(values).low for form in (self.outer, self.inner))
        turn = 2 * enclose_pi(50).low * self.part
        if self.height is None:
            return outer, inner, turn
        breadth, height = outer - inner, self.height.enclosure(values).low
        slope = enclose_root(breadth * breadth + height * height, 50).low
        return outer * slope / breadth, inner * slope / breadth, turn * breadth / slope


def read_flat(draft: Draft, path: str, written: SectorOutline | ConeOutline) -> Flat | None:
    """A flat as symbols; None if it has faults, which are noted in the draft."""
    before = len(draft.faults)
    if isinstance(written, SectorOutline):
        here, names = f"{path}.sector", ("outer", "inner")
        part, height = read_number(written.sector.turn), None
        outer, inner = (draft.rational(f"{here}.{name}", getattr(written.sector, name)) for name in names)
    else:
        here, names = f"{path}.cone", ("bottom", "top")
        part, cone = read_number(written.cone.share), written.cone
        outer, inner = (draft.rational(f"{here}.{name}", getattr(cone, name)) for name in names)
        height = draft.rational(f"{here}.height", cone.height)
    at, text = draft.at_base, draft.ruler.text
    if at(outer) <= at(inner):
        problem = f"{names[0]} is {text(at(outer))} at the base size, and {names[1]} {text(at(inner))}"
        draft.fault(here, problem, f"let {names[0]} be the greater one")
    pointed = is_nothing(inner_radius(written))
    if at(inner) < 0 or (not at(inner) and not pointed):
        draft.fault(
            f"{here}.{names[1]}",
            f"it is {text(at(inner))} at the base size, so that its edge has no length",
            "write 0 for a flat that ends in a point",
        )
    if height is not None and at(height) <= 0:
        draft.fault(f"{here}.height", f"it is {text(at(height))} at the base size", "give the cone a height above 0")
    return None if len(draft.faults) > before else Flat(outer, inner, height, part)


def flat_edges(flat: Flat, names: tuple[str, ...]) -> tuple[Edge, ...]:
    """The edges of a flat: its arcs are pi × 2 × radius × the part of the way round, its sides straight."""
    round_once = flat.part * 2
    lengths = {
        "outer": flat.outer.times(round_once).times_pi(),
        "inner": flat.inner.times(round_once).times_pi(),
        "right": flat.side,
        "left": flat.side,
    }
    return tuple(Edge(name, (), lengths[name]) for name in names)
