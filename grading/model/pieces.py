"""Pieces as symbols: outlines with their allowances, layers, notches and lines."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grading.document.index import UseOfPiece, edge_names
from grading.document.pieces import EdgeSettings
from grading.document.pieces import Layer as WrittenLayer
from grading.document.pieces import Piece as WrittenPiece
from grading.exact import read_percentage
from grading.form import Form, length
from grading.model.draft import Draft
from grading.model.flat import Flat
from grading.model.outline import Outline, read_outline
from grading.model.path import read_place
from grading.model.relation import Origin, Relation, Sense
from grading.model.segment import HALF, Edge, Segment, draw_segment

WITHOUT_ALLOWANCE = frozenset({"folded", "selvage", "bound"})
"""Fates of edges that have no allowance unless one is written."""


@dataclass(frozen=True)
class Layer:
    """One material of a piece; oversize and inset in mm, on the ruler.

    `shrinks` is the part that quilting or fusing takes in, across and along the grain.
    """

    name: str
    material: str
    count: int
    oversize: Fraction | None
    inset: Fraction | None
    shrinks: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))


@dataclass(frozen=True)
class Notch:
    """A mark on an edge at a distance from its start; `at` is None for the middle."""

    name: str
    edge: Edge
    at: Form | None

    @property
    def distance(self) -> Form:
        """The distance from the edge's start."""
        return self.edge.length.times(Fraction(1, 2)) if self.at is None else self.at


@dataclass(frozen=True)
class Line:
    """A straight line inside a piece."""

    name: str
    edge: Edge


@dataclass(frozen=True)
class Piece:
    """A piece as symbols; allowances by edge in mm, on the ruler."""

    name: str
    letter: str
    written: WrittenPiece
    uses: tuple[UseOfPiece, ...]
    outline: Outline
    allowances: dict[str, Fraction]
    layers: tuple[Layer, ...]
    notches: dict[str, Notch]
    lines: dict[str, Line]

    @property
    def is_template(self) -> bool:
        """Whether it is cut round a template rather than by measures."""
        return self.written.grain == "bias" or not self.outline.has_only_square_lines_and_arcs

    def settings(self, edge: str) -> EdgeSettings:
        """What the document says of an edge."""
        return self.written.edges.get(edge, EdgeSettings())


def letter_of(number: int) -> str:
    """A, B, …, Z, AA, AB, … for 0, 1, …"""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def read_pieces(draft: Draft) -> dict[str, Piece]:
    """All pieces as symbols, but those whose outlines have faults; all faults are noted in the draft."""
    default_allowance = draft.constant("allowance", draft.pattern.allowance)
    pieces: dict[str, Piece] = {}
    for number, (name, written) in enumerate(draft.pattern.pieces.items()):
        outline = read_outline(draft, f"pieces.{name}.outline", written.outline)
        if outline is not None:
            pieces[name] = _piece(draft, name, letter_of(number), outline, default_allowance)
    return pieces


def _piece(draft: Draft, name: str, letter: str, outline: Outline, default_allowance: Fraction) -> Piece:
    written, path = draft.pattern.pieces[name], f"pieces.{name}"
    uses = tuple(draft.index.uses[use.name] for use in written.named_uses(name))
    layers = tuple(
        Layer(
            layer.title,
            layer.material,
            layer.count,
            None if layer.oversize is None else draft.constant(f"{path}.layers.{number}.oversize", layer.oversize),
            None if layer.inset is None else draft.constant(f"{path}.layers.{number}.inset", layer.inset),
            _shrinks(draft, written, layer),
        )
        for number, layer in enumerate(written.layers)
    )
    notches = {
        key: Notch(
            key,
            outline.by_name[mark.edge],
            None if mark.at == "middle" else draft.rational(f"{path}.notches.{key}.at", mark.at),
        )
        for key, mark in written.notches.items()
    }
    if outline.flat is not None and written.lines:
        draft.fault(
            f"{path}.lines", "lines are drawn in a flat, whose points follow from its measures", "leave them out"
        )
    lines = {key: _line(draft, f"{path}.lines.{key}", key, written) for key in written.lines}
    return Piece(
        name,
        letter,
        written,
        uses,
        outline,
        _allowances(draft, path, written, default_allowance),
        layers,
        notches,
        lines,
    )


def _shrinks(draft: Draft, piece: WrittenPiece, layer: WrittenLayer) -> tuple[Fraction, Fraction]:
    """What the layer is taken in across and along; on the bias as much each way as where it is most."""
    shrinks = layer.shrinks or draft.pattern.materials[layer.material].shrinks
    if shrinks is None:
        return Fraction(0), Fraction(0)
    across, along = (read_percentage(share) or Fraction(0) for share in (shrinks.across, shrinks.along))
    return (max(across, along), max(across, along)) if piece.grain == "bias" else (across, along)


def _line(draft: Draft, path: str, name: str, written: WrittenPiece) -> Line:
    line = written.lines[name]
    start = read_place(draft, f"{path}.from", *line.from_)
    end = read_place(draft, f"{path}.to", *line.to)
    segment = draw_segment(draft, start, end)
    if segment.signs == (0, 0):
        draft.fault(path, "this line has no length at the base size", "move one of its ends")
    return Line(name, Edge(name, (segment,)))


def _allowances(draft: Draft, path: str, written: WrittenPiece, default: Fraction) -> dict[str, Fraction]:
    allowances: dict[str, Fraction] = {}
    for edge in edge_names(written.outline):
        settings = written.edges.get(edge, EdgeSettings())
        if settings.allowance is not None:
            allowances[edge] = draft.constant(f"{path}.edges.{edge}.allowance", settings.allowance)
        else:
            allowances[edge] = Fraction(0) if settings.fate in WITHOUT_ALLOWANCE else default
    return allowances


def outline_relations(draft: Draft, piece: Piece) -> list[Relation]:
    """That each edge keeps its direction and has some length: no outline turns inside out."""
    step, flat = length(draft.ruler.step), piece.outline.flat
    if flat is not None:
        forms = {f"outline:{piece.name}:{edge}": form for edge, form in _flat_bounds(flat, step).items()}
        return [_outline_relation(draft, piece, key.rsplit(":", 1)[1], key, form) for key, form in forms.items()]
    return [
        _outline_relation(draft, piece, edge.name, f"outline:{piece.name}:{edge.name}{aspect}", form)
        for edge in piece.outline.edges
        for aspect, form in _edge_bounds(edge.first, step).items()
    ]


def _edge_bounds(segment: Segment, step: Form) -> dict[str, Form]:
    """What of a segment is not below 0, by the aspect that its relation is named for."""
    across, along = segment.across.times(segment.signs[0]), segment.along.times(segment.signs[1])
    if segment.is_quarter:
        return {"": segment.radius - step}
    if segment.ellipse:
        return {":across": across - step, ":along": along - step}
    if segment.along.is_zero or segment.across.is_zero:
        bounds = {"": segment.chord - step}
    else:
        bounds = {":across": across, ":along": along}
    if segment.rise is not None:
        bounds |= {":rise": segment.rise - step, ":half": segment.chord.times(HALF) - segment.rise}
    return bounds


def _flat_bounds(flat: Flat, step: Form) -> dict[str, Form]:
    """What of a flat is not below 0, by the edge that its relation is named for."""
    bounds = {"outer": flat.outer - flat.inner - step, "inner": flat.inner}
    return bounds if flat.height is None else {**bounds, "right": flat.height - step}


def _outline_relation(draft: Draft, piece: Piece, edge: str, name: str, form: Form) -> Relation:
    return Relation(
        id=name,
        origin=Origin.OUTLINE,
        form=form,
        sense=Sense.NOT_BELOW,
        says=f"the edge {edge} of {piece.name} is at least {draft.ruler} long and runs as drawn",
        because="an edge shorter than this, or turned about, cannot be cut",
        path=f"pieces.{piece.name}.outline",
    )
