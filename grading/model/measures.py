"""The measures that must lie on the ruler, each as a form and in a maker's words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from grading.model.coverings import Covering
from grading.model.cutting import cut_height, cut_width
from grading.model.draft import Draft
from grading.model.findings import Finding
from grading.model.pieces import Piece
from grading.model.problem import Measure
from grading.model.seams import Seam


def piece_measures(draft: Draft, piece: Piece) -> Iterator[Measure]:
    """Box, straight edges, radii, lines, notches, and the half width on the fold of a piece."""
    name, flat = piece.name, piece.outline.flat
    if flat is None:
        yield from _drawn_measures(piece)
    else:
        yield from (Measure(f"{name}: {what}", form) for what, form in flat.measures.items())
    for notch in piece.notches.values():
        if notch.at is not None:
            yield Measure(f"{name}: notch {notch.name}", notch.at)
    if piece.written.on_fold and not piece.is_template:
        across = cut_height(draft, piece) if piece.written.grain == "across" else cut_width(draft, piece)
        yield Measure(f"{name}: half its width on the fold", across.times(Fraction(1, 2)))


def _drawn_measures(piece: Piece) -> Iterator[Measure]:
    name, box = piece.name, piece.outline.box
    yield Measure(f"{name}: width", box.width)
    yield Measure(f"{name}: height", box.height)
    for edge, segment in piece.outline.segments:
        if segment.is_quarter:
            yield Measure(f"{name}: radius of {edge.name}", segment.radius)
        elif segment.is_level or segment.is_upright:
            yield Measure(f"{name}: {edge.name}", segment.length)
        elif segment.ellipse:
            yield Measure(f"{name}: {edge.name} across", segment.across.times(segment.signs[0]))
            yield Measure(f"{name}: {edge.name} along", segment.along.times(segment.signs[1]))
        elif segment.rise is not None:
            yield Measure(f"{name}: rise of {edge.name}", segment.rise)
    for line in piece.lines.values():
        for which, point in (("start", line.edge.start), ("end", line.edge.end)):
            yield Measure(f"{name}: {which} of {line.name} from the left", point.x - box.left)
            yield Measure(f"{name}: {which} of {line.name} from the top", box.top - point.y)


def seam_measures(seam: Seam) -> Iterator[Measure]:
    """Where the parts of edges in a seam begin and end."""
    for entry in (*seam.join, *seam.to):
        if not entry.is_whole:
            yield Measure(f"{seam.name}: part of {entry.reference} begins", entry.start)
            yield Measure(f"{seam.name}: part of {entry.reference} ends", entry.end)


def all_measures(
    draft: Draft,
    pieces: Mapping[str, Piece],
    seams: Mapping[str, Seam],
    coverings: Mapping[str, Covering],
    findings: Mapping[str, Finding],
) -> tuple[Measure, ...]:
    """All measures of a pattern that can lie on a ruler (parts that end at the end of a curve cannot)."""
    measures: list[Measure] = []
    for piece in pieces.values():
        measures += piece_measures(draft, piece)
    for seam in seams.values():
        measures += (measure for measure in seam_measures(seam) if measure.form.is_rational)
    for covering in coverings.values():
        measures += (
            Measure(f"{covering.name}: distance from the {side}", form) for side, form in covering.clearances.items()
        )
    for finding in findings.values():
        if finding.is_measured and finding.length is not None:
            measures.append(Measure(f"{finding.name}: length", finding.length))
    return tuple(measures)
