"""Every expression that stands in a document, with its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from grading.document.contents import Opening
from grading.document.index import corner_radii, read_entry
from grading.document.pattern import Pattern
from grading.document.pieces import (
    ConeOutline,
    DiscOutline,
    Outline,
    PathEdge,
    PathOutline,
    Piece,
    RectangleOutline,
    RoundedRectangleOutline,
    SectorOutline,
    SideEntry,
    TrapezoidOutline,
)
from grading.document.rules import COMPARISON
from grading.document.values import Expression

Written = tuple[str, Expression | None]
"""A path and the expression that stands there."""


def written_expressions(pattern: Pattern) -> Iterator[Written]:
    """Every expression of a pattern with its path; rules give two, one for each side."""
    for key in ("inside", "outside"):
        for place, value in enumerate(getattr(pattern, key) or ()):
            yield f"{key}.{place}", value
    for name, piece in pattern.pieces.items():
        yield from ((f"pieces.{name}.{path}", value) for path, value in _piece_expressions(piece))
    for name, seam in pattern.seams.items():
        if not (isinstance(seam.ease, str) and seam.ease.rstrip().endswith("%")):
            yield f"seams.{name}.ease", seam.ease
        for side in ("join", "to"):
            yield from _entry_expressions(f"seams.{name}.{side}", getattr(seam, side))
    for name, covering in pattern.coverings.items():
        yield f"coverings.{name}.takes_up.across", covering.takes_up.across
        yield f"coverings.{name}.takes_up.along", covering.takes_up.along
        for side in ("left", "right", "top", "bottom"):
            value = getattr(covering.clear, side)
            yield f"coverings.{name}.clear.{side}", getattr(value, "at_least", value)
    for name, content in pattern.contents.items():
        if isinstance(content, Opening):
            yield f"contents.{name}.opening", content.opening
    for name, finding in pattern.findings.items():
        path = f"findings.{name}.{finding.kind}"
        part = getattr(finding, finding.kind)
        for key in ("length", "exposed", "width", "join"):
            yield f"{path}.{key}", getattr(part, key, None)
        if getattr(part, "ends", None) is not None:
            yield f"{path}.ends.by", part.ends.by
        if finding.webbing is not None and finding.webbing.adjusts is not None:
            for key in ("least", "most", "takes"):
                yield f"{path}.adjusts.{key}", getattr(finding.webbing.adjusts, key)
        yield from _entry_expressions(f"{path}.along", getattr(part, "along", ()))
    for name, rule in pattern.rules.items():
        match = COMPARISON.fullmatch(rule.holds)
        if match is not None:
            yield f"rules.{name}.holds", match["left"].strip()
            yield f"rules.{name}.holds", match["right"].strip()


def _piece_expressions(piece: Piece) -> Iterator[Written]:
    yield from _outline_expressions(piece.outline)
    for edge, settings in piece.edges.items():
        yield f"edges.{edge}.allowance", settings.allowance
    for notch, mark in piece.notches.items():
        if mark.at != "middle":
            yield f"notches.{notch}.at", mark.at
    for name, line in piece.lines.items():
        for end, place in (("from", line.from_), ("to", line.to)):
            yield from ((f"lines.{name}.{end}.{number}", value) for number, value in enumerate(place))
    if piece.motif is not None:
        yield from ((f"motif.point.{place}", value) for place, value in enumerate(piece.motif.point))
    for number, layer in enumerate(piece.layers):
        yield f"layers.{number}.oversize", layer.oversize
        yield f"layers.{number}.inset", layer.inset


def _outline_expressions(outline: Outline) -> Iterator[Written]:
    match outline:
        case RectangleOutline(rectangle=sides):
            yield from ((f"outline.rectangle.{place}", side) for place, side in enumerate(sides))
        case TrapezoidOutline(trapezoid=shape):
            for key in ("top", "bottom", "height", "lean"):
                yield f"outline.trapezoid.{key}", getattr(shape, key)
        case RoundedRectangleOutline(rounded_rectangle=shape):
            yield "outline.rounded_rectangle.width", shape.width
            yield "outline.rounded_rectangle.height", shape.height
            for corner, radius in corner_radii(shape.corners).items():
                yield f"outline.rounded_rectangle.corners.{corner}", radius
        case DiscOutline(disc=shape):
            yield "outline.disc.radius", shape.radius
        case PathOutline(start=start, edges=edges):
            yield from ((f"outline.start.{place}", value) for place, value in enumerate(start))
            for number, edge in enumerate(edges):
                yield from _edge_expressions(f"outline.edges.{number}", edge)
        case SectorOutline(sector=ring):
            yield "outline.sector.outer", ring.outer
            yield "outline.sector.inner", ring.inner
        case ConeOutline(cone=cone):
            for key in ("bottom", "top", "height"):
                yield f"outline.cone.{key}", getattr(cone, key)


def _edge_expressions(path: str, edge: PathEdge) -> Iterator[Written]:
    yield from ((f"{path}.to.{place}", value) for place, value in enumerate(edge.to))
    yield f"{path}.rise", edge.rise
    for number, point in enumerate(edge.cubic or ()):
        yield from ((f"{path}.cubic.{number}.{place}", value) for place, value in enumerate(point))


def _entry_expressions(path: str, side: Iterable[SideEntry]) -> Iterator[Written]:
    for place, written in enumerate(side):
        entry = read_entry(written)
        yield f"{path}.{place}.from", entry.start
        yield f"{path}.{place}.to", entry.end
