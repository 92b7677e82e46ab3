"""Corners too tight for the foam in them, and webbing that does not fit its hardware."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from grading.check.attempts import Attempt
from grading.check.bag import Bag
from grading.check.customs import Customs
from grading.check.notes import Note, listed, remark
from grading.form import Form


def corner_notes(bag: Bag, attempts: Sequence[Attempt], customs: Customs) -> Iterator[Note]:
    """Outward curves of pieces with foam whose radius is, in some size, smaller than is usual."""
    for name, piece in bag.model.pieces.items():
        if not bag.has_foam(piece.uses[0].name):
            continue
        found: dict[str, tuple[Fraction, str]] = {}
        for edge, segment in piece.outline.segments:
            if segment.turn == "right":
                found[edge.name] = min(
                    found.get(edge.name, _least(bag, attempts, segment.radius)), _least(bag, attempts, segment.radius)
                )
        tight = {edge: least for edge, least in found.items() if least[0] < customs.least_foamed_radius}
        if tight:
            radius, size = min(tight.values())
            text = bag.model.ruler.text
            yield remark(
                "tight_corner",
                f"pieces.{name}.outline",
                f"{listed(tight)} of {name} has foam in it and a radius of {text(radius)} in the size {size}; below "
                f"{text(customs.least_foamed_radius)} foam is hard to sew round",
                f"give it a radius of at least {text(customs.least_foamed_radius)} in all sizes, or leave the foam out",
            )


def _least(bag: Bag, attempts: Sequence[Attempt], form: Form) -> tuple[Fraction, str]:
    graded = [(form.enclosure(a.grade.values).low, a.size) for a in attempts if a.grade is not None]
    return min(graded, default=(bag.at(form).low, "base"), key=lambda pair: pair[0])


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
