"""Measures in the text of steps: which length each `{...}` stands for."""

from __future__ import annotations

from grading.verify.cutting.cut_list import raised_length
from grading.verify.document.coverings import SIDES
from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Piece
from grading.verify.document.sides import side_length
from grading.verify.exact.enclosures import Enclosure
from grading.verify.exact.points import Point
from grading.verify.geometry.outlines import Outline
from grading.verify.unreadable import refuse


def measure(pattern: Pattern, point: Point, name: str, path: str) -> Enclosure | str:
    """Return the length that a measure stands for, or the text of a count."""
    first, *rest = name.split(".")
    if not rest:
        if first in pattern.head.dimensions.counts:
            return str(pattern.head.dimensions.counts[first])
        if first in pattern.head.dimensions.lengths:
            value = point.rational_of(first)
            return value, value
    found = _of_piece(pattern, point, first, rest)
    if found is None and rest == ["length"] and first in pattern.seams:
        found = point.enclosure(side_length(pattern.seams[first].join))
    if found is None and len(rest) == 2 and rest[0] == "clear" and first in pattern.coverings and rest[1] in SIDES:
        found = point.enclosure(pattern.coverings[first].distance(rest[1]))
    if found is None:
        found = _of_finding(pattern, point, first, rest)
    if found is None:
        refuse(f"speaks of {{{name[:80]}}}, which is no measure", path)
    return found


def _of_piece(pattern: Pattern, point: Point, first: str, rest: list[str]) -> Enclosure | None:
    piece: Piece | None = pattern.pieces.get(first)
    if piece is None and first in pattern.uses:
        piece = pattern.uses[first].piece
    outline: Outline | None = None if piece is None else piece.outline
    if piece is None and first in pattern.uses:
        outline = pattern.uses[first].outline
    if outline is None:
        return None
    if piece is not None and not piece.is_flat and rest == ["width"]:
        return point.enclosure(outline.box.width)
    if piece is not None and not piece.is_flat and rest == ["height"]:
        return point.enclosure(outline.box.height)
    if len(rest) != 2 or rest[0] not in outline.edges:
        return None
    if rest[1] == "length":
        return point.enclosure(outline.edges[rest[0]].length)
    if rest[1] == "allowance" and piece is not None:
        return point.enclosure(piece.treatments[rest[0]].allowance)
    return None


def _of_finding(pattern: Pattern, point: Point, first: str, rest: list[str]) -> Enclosure | None:
    finding = pattern.findings.get(first)
    if finding is None:
        return None
    if rest == ["length"] and finding.cut is not None:
        return raised_length(finding, point, pattern.ruler.step)
    if rest == ["width"] and finding.width is not None:
        return point.enclosure(finding.width)
    return None
