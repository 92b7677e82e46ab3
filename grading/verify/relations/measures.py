"""The listed measures: what must lie on the ruler."""

from __future__ import annotations

from collections.abc import Iterator

from grading.verify.cutting.cut_box import half_on_fold
from grading.verify.document.coverings import SIDES
from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Piece
from grading.verify.document.sides import Entry
from grading.verify.exact.forms import Form
from grading.verify.exact.points import Point
from grading.verify.geometry.curves import Arc, Ellipse
from grading.verify.geometry.outlines import Segment
from grading.verify.verdict import Claim

Measure = tuple[str, Form]


def listed_measures(pattern: Pattern) -> Iterator[Measure]:
    """Yield each measure that a ruler must be able to show, with its name; those with pi or a root are left out."""
    for title, form in _measures(pattern):
        if form.is_rational:
            yield title, form


def _measures(pattern: Pattern) -> Iterator[Measure]:
    for piece in pattern.pieces.values():
        yield from _piece_measures(piece)
    for seam in pattern.seams.values():
        for which, side in (("join", seam.join), ("to", seam.to)):
            yield from _part_measures(f"seams.{seam.name}.{which}", side)
    for covering in pattern.coverings.values():
        for way in SIDES:
            yield f"coverings.{covering.name}.{way}", covering.distance(way)
    for finding in pattern.findings.values():
        yield from _part_measures(f"findings.{finding.name}.along", finding.along)
        is_cut = finding.kind == "webbing" or (finding.kind == "zip" and finding.shortened)
        if is_cut and finding.cut is not None:
            yield f"findings.{finding.name}.length", finding.cut


def _piece_measures(piece: Piece) -> Iterator[Measure]:
    at, outline = f"pieces.{piece.name}", piece.outline
    if outline.flat is not None:
        for what, form in outline.flat.measures.items():
            yield f"{at}.{what}", form
    else:
        yield f"{at}.width", outline.box.width
        yield f"{at}.height", outline.box.height
    for edge in outline.edges.values():
        for index, segment in enumerate(edge.segments):
            for what, form in _segment_measures(segment, index):
                yield f"{at}.edges.{edge.name}.{what}", form
    for title, line in piece.lines.items():
        for end, place in (("from", line.start), ("to", line.end)):
            yield f"{at}.lines.{title}.{end}.left", place[0] - outline.box.left
            yield f"{at}.lines.{title}.{end}.top", outline.box.top - place[1]
    for title, notch in piece.notches.items():
        if not notch.is_middle:
            yield f"{at}.notches.{title}.at", notch.at
    if piece.on_fold and not piece.is_template:
        yield f"{at}.half", half_on_fold(piece)


def _segment_measures(segment: Segment, index: int) -> Iterator[Measure]:
    measure = segment.measure
    if measure is not None:
        yield "length" if segment.turns is None else f"radius.{index}", measure
    elif isinstance(segment.curve, Arc):
        yield "rise", segment.curve.rise
    elif isinstance(segment.curve, Ellipse):
        yield "across", segment.reach[0]
        yield "along", segment.reach[1]


def _part_measures(path: str, side: tuple[Entry, ...]) -> Iterator[Measure]:
    for index, entry in enumerate(side):
        for which, form in (("from", entry.start), ("to", entry.end)):
            if form is not None:
                yield f"{path}.{index}.{which}", form


def ruler_claims(pattern: Pattern, point: Point) -> Iterator[Claim]:
    """Yield that each listed measure is a multiple of the ruler's step."""
    ruler = pattern.ruler
    step = ruler.printed(ruler.step)
    for title, form in listed_measures(pattern):
        value = point.rational(form)
        holds = (value / ruler.step).denominator == 1
        text = ruler.printed(value)
        says = f"{title} is {text}, {'' if holds else 'not '}on a ruler of {step}"
        yield Claim("ruler", f"ruler:{title}", text, f"multiple of {step}", holds, says)
