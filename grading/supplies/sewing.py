"""Everything that is sewn in one grade, each with its length, its class of stitch and the thickness sewn through."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from grading.grade import Grade
from grading.model.findings import Finding
from grading.model.seams import Seam, Side, total_length
from grading.supplies.layering import HEM_LAYERS, Layering
from grading.supplies.lengths import sewn_length
from grading.supplies.stitches import LOCKSTITCH

BINDING_LAYERS = 4
"""A binding of cloth lies folded double on both sides of what it binds."""
BINDING_PASSES = 2
"""It is sewn on, folded over, and sewn down."""
STITCHED_LINES = frozenset({"quilting", "topstitching"})
Edges = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class Sewn:
    """One thing that is sewn: its length in mm, raised to 1 cm; how many times; the thickness in mm."""

    name: str
    stitch: str
    length: Fraction
    passes: int
    thickness: Fraction


def all_sewn(layers: Layering) -> tuple[Sewn, ...]:
    """Seams, bindings, hems, caught edges that no seam holds, and lines, in this order."""
    return (
        *_seams(layers),
        *_bindings(layers),
        *_hems(layers),
        *_caught(layers),
        *_lines(layers),
    )


def seam_thickness(layers: Layering, seam: Seam) -> Fraction:
    """The thickest of one side and the thickest of the other, in mm."""
    return sum(
        (max(layers.thickness(layers.at_entry(entry)) for entry in side) for side in (seam.join, seam.to)),
        Fraction(0),
    )


def edges_in(side: Side) -> Edges:
    """The edges of a side, by use and name; lines left out."""
    return frozenset((entry.use, entry.edge.name) for entry in side if not entry.is_line)


def seam_of(grade: Grade, edge: tuple[str, str]) -> Seam | None:
    """The first seam that names an edge, all or a part of it."""
    return next((seam for seam in grade.model.seams.values() if edge in edges_in((*seam.join, *seam.to))), None)


def seamed_edges(grade: Grade) -> Edges:
    """All edges that a seam names, all or a part of them."""
    return frozenset(edge for seam in grade.model.seams.values() for edge in edges_in((*seam.join, *seam.to)))


def hemmed_edges(grade: Grade) -> Iterator[tuple[str, str]]:
    """The hemmed edges of all uses that no seam names, by use and name."""
    seamed = seamed_edges(grade)
    for use in grade.model.draft.index.uses.values():
        piece = grade.model.pieces[use.piece]
        for edge in piece.outline.edges:
            if piece.settings(edge.name).fate in HEM_LAYERS and (use.name, edge.name) not in seamed:
                yield use.name, edge.name


def binding_thickness(layers: Layering, finding: Finding) -> Fraction:
    """The thickest of what a binding wraps, with the binding itself, in mm."""
    binding, around = finding.written.binding, Fraction(0)
    for entry in finding.along:
        seam = seam_of(layers.grade, (entry.use, entry.edge.name))
        held = layers.thickness(layers.at_entry(entry)) if seam is None else seam_thickness(layers, seam)
        around = max(around, held)
    if binding is None or binding.material is None:
        return around
    return around + BINDING_LAYERS * layers.thickness({binding.material: 1})


def _seams(layers: Layering) -> Iterator[Sewn]:
    grade = layers.grade
    bound = frozenset(edge for finding in grade.model.findings.values() for edge in edges_in(finding.along))
    for name, seam in grade.model.seams.items():
        kind = seam.written.kind
        has_binding = bool(bound & edges_in((*seam.join, *seam.to)))
        passes = 2 if kind == "topstitched" or (kind == "bound" and not has_binding) else 1
        length = sewn_length(grade.seams[name].join)
        yield Sewn(name, seam.written.stitch, length, passes, seam_thickness(layers, seam))


def _bindings(layers: Layering) -> Iterator[Sewn]:
    for name, finding in layers.grade.model.findings.items():
        if finding.written.binding is not None:
            length = sewn_length(total_length(finding.along).enclosure(layers.grade.values))
            passes = BINDING_PASSES * finding.written.count
            yield Sewn(f"binding {name}", LOCKSTITCH, length, passes, binding_thickness(layers, finding))


def _hems(layers: Layering) -> Iterator[Sewn]:
    for use, edge in hemmed_edges(layers.grade):
        yield _edge(layers, f"hem {use}.{edge}", use, edge, layers.thickness(layers.at_edge(use, edge)))


def _caught(layers: Layering) -> Iterator[Sewn]:
    seamed = seamed_edges(layers.grade)
    for name, covering in layers.grade.model.coverings.items():
        written = covering.written
        for own, over in written.caught.items():
            if (written.over, over) not in seamed:
                thickness = layers.thickness(layers.at_edge(written.over, over))
                yield _edge(layers, f"caught {name}.{own}", written.piece, own, thickness)


def _edge(layers: Layering, name: str, use: str, edge: str, thickness: Fraction) -> Sewn:
    grade = layers.grade
    length = grade.model.parts.edge(use, edge).length.enclosure(grade.values)
    return Sewn(name, LOCKSTITCH, sewn_length(length), 1, thickness)


def _lines(layers: Layering) -> Iterator[Sewn]:
    grade = layers.grade
    seamed = {
        (entry.use, entry.edge.name)
        for seam in grade.model.seams.values()
        for entry in (*seam.join, *seam.to)
        if entry.is_line
    }
    for use in grade.model.draft.index.uses.values():
        piece = grade.model.pieces[use.piece]
        for name, line in piece.lines.items():
            if piece.written.lines[name].kind in STITCHED_LINES and (use.name, name) not in seamed:
                length = sewn_length(line.edge.length.enclosure(grade.values))
                thickness = layers.thickness(layers.at_line(use.name))
                yield Sewn(f"line {use.name}.{name}", LOCKSTITCH, length, 1, thickness)
