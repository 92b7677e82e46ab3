"""Corners too tight for the foam in them, and webbing that does not fit its hardware."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from grading.check.attempts import Attempt
from grading.check.bag import Bag
from grading.check.customs import Customs
from grading.check.notes import Note, listed, remark
from grading.cut.cut_line import LINKS
from grading.cut.geometry import Curve, Place, cross, size
from grading.cut.pieces import curve_of
from grading.exact import Enclosure
from grading.form import Form
from grading.model.segment import Segment

EXACT = 1000
"""A radius whose denominator divides it is told as it is."""


def corner_notes(bag: Bag, attempts: Sequence[Attempt], customs: Customs) -> Iterator[Note]:
    """Outward curves of pieces with foam whose radius is, in some size, somewhere smaller than is usual."""
    for name, piece in bag.model.pieces.items():
        if not bag.has_foam(piece.uses[0].name):
            continue
        found: dict[str, tuple[Fraction, str]] = {}
        for edge, segment in piece.outline.segments:
            least = _least(bag, attempts, segment)
            if least is not None:
                found[edge.name] = min(found.get(edge.name, least), least)
        tight = {edge: least for edge, least in found.items() if least[0] < customs.least_foamed_radius}
        if tight:
            radius, size = min(tight.values())
            text = bag.model.ruler.text
            is_short = EXACT % radius.denominator == 0
            told = text(radius) if is_short else bag.model.ruler.near_text(Enclosure(radius, radius))
            yield remark(
                "tight_corner",
                f"pieces.{name}.outline",
                f"{listed(tight)} of {name} has foam in it and a radius of {told} in the size {size}; below "
                f"{text(customs.least_foamed_radius)} foam is hard to sew round",
                f"give it a radius of at least {text(customs.least_foamed_radius)} in all sizes, or leave the foam out",
            )


def _least(bag: Bag, attempts: Sequence[Attempt], segment: Segment) -> tuple[Fraction, str] | None:
    """The least radius of a segment where it turns outwards, and the size that has it; None where it never does."""
    if segment.is_line or (segment.turn == "left"):
        return None
    graded = [(least_radius(curve_of(segment, a.grade.values)), a.size) for a in attempts if a.grade is not None]
    graded = graded or [(least_radius(curve_of(segment, bag.model.draft.base)), "base")]
    found = [(radius, size) for radius, size in graded if radius is not None]
    return min(found, key=lambda pair: pair[0], default=None)


def least_radius(curve: Curve) -> Fraction | None:
    """The least radius in mm of a curve where it turns right; of an ellipse or a cubic the least of 33 places."""
    if not curve.is_chain:
        return curve.radius if curve.turn == "right" else None
    radii = []
    for place in range(LINKS + 1):
        t = Fraction(place, LINKS)
        way, bend = curve.way_at(t), _bend(curve, t)
        turn = -cross(way, bend)
        if turn > 0:
            # How much longer the slope of the curve is than `way_at`, which only has its direction.
            factor = 2 / (1 + t * t) ** 2 if curve.ellipse else Fraction(3)
            radii.append(factor * size(way) ** 3 / turn)
    return min(radii, default=None)


def _bend(curve: Curve, t: Fraction) -> Place:
    """The slope of `way_at`, which is a polynomial of degree 2 in t."""
    before, after = curve.way_at(t - 1), curve.way_at(t + 1)
    return (after[0] - before[0]) / 2, (after[1] - before[1]) / 2


def hardware_notes(bag: Bag) -> Iterator[Note]:
    """Webbing and hardware of one step that have different widths."""
    told = set()
    for number, step in enumerate(bag.steps):
        used = [bag.model.findings[name] for name in step.uses if name in bag.model.findings]
        bands = [finding for finding in used if finding.written.webbing is not None and finding.width is not None]
        for hardware in used:
            if hardware.written.hardware is None or hardware.width is None or len(bands) != 1:
                continue
            band = bands[0]
            width, wanted = bag.at(band.width or Form()).low, bag.at(hardware.width).low
            if width != wanted and (band.name, hardware.name) not in told:
                told.add((band.name, hardware.name))
                text = bag.model.ruler.text
                yield remark(
                    "hardware_width",
                    f"findings.{hardware.name}.hardware.width",
                    f"{hardware.name} is for webbing {text(wanted)} wide, and {band.name} beside it in step "
                    f"{number + 1} is {text(width)} wide",
                    "give both one dimension from stock for their width",
                )
