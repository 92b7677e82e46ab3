"""Pieces: outlines with their edges' allowances and fates, notches, lines and layers of cloth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.verify.document.materials import Material, Shrinks, read_shrinks
from grading.verify.document.motifs import Motif, read_motif
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO, Form, diagonal
from grading.verify.exact.fraction import Fraction
from grading.verify.geometry.outlines import Outline, OutlineReader, Place, sign_of
from grading.verify.reading import choice, fields, items, joined, name, named, truth
from grading.verify.unreadable import refuse

FATES = ("hemmed once", "hemmed twice", "bound", "folded", "selvage", "raw")
FINISHES = ("bound", "overcast", "turned in", "raw")
WITHOUT_ALLOWANCE = frozenset({"folded", "selvage", "bound"})
GRAINS = ("along", "across", "bias")
LINE_KINDS = ("placement", "topstitching", "quilting", "fold", "pleat")
HALF = Fraction(1, 2)


@dataclass(frozen=True)
class Treatment:
    """What an edge's allowance is, and what becomes of the edge."""

    allowance: Form
    fate: str | None
    finish: str | None

    @property
    def is_bound(self) -> bool:
        """Whether a binding goes round the edge."""
        return "bound" in (self.fate, self.finish)


@dataclass(frozen=True)
class Notch:
    """A mark on an edge; `at` is measured along the edge from its start."""

    edge: str
    at: Form
    is_middle: bool


@dataclass(frozen=True)
class Line:
    """A line drawn on a piece."""

    start: Place
    end: Place
    length: Form
    kind: str = LINE_KINDS[0]


@dataclass(frozen=True)
class Layer:
    """One cloth of a piece; `oversize` is cut and trimmed away later, `inset` stays clear of the stitching.

    `shrinks` is what quilting or fusing takes in, across and along the grain, as parts of one.
    """

    name: str
    material: str
    count: int
    oversize: Form
    inset: Form | None
    shrinks: Shrinks

    @property
    def is_trimmed(self) -> bool:
        """Whether it is cut rough and trimmed later."""
        return not self.oversize.is_zero or any(self.shrinks)


@dataclass(frozen=True)
class Piece:
    """A shape of cloth, and each of its uses with whether it is cut mirrored."""

    name: str
    uses: Mapping[str, bool]
    outline: Outline
    treatments: Mapping[str, Treatment]
    grain: str
    on_fold: bool
    strip: bool
    notches: Mapping[str, Notch]
    lines: Mapping[str, Line]
    layers: tuple[Layer, ...]
    up: str | None = None
    motif: Motif | None = None
    on_border: str | None = None

    @property
    def is_template(self) -> bool:
        """Whether it needs a drawn shape: a slanting line, a curve, or grain on the bias."""
        return self.grain == "bias" or self.is_flat or any(part.measure is None for _, part in self.outline.segments)

    @property
    def is_flat(self) -> bool:
        """Whether its points are no forms, but computed at a size."""
        return self.outline.flat is not None

    @property
    def turned(self) -> bool:
        """Whether x runs along the grain."""
        return self.grain == "across"


class PieceReader:
    """Reads the pieces of a document."""

    def __init__(self, expressions: Expressions, outlines: OutlineReader, allowance: Form) -> None:
        self.expressions = expressions
        self.outlines = outlines
        self.allowance = allowance

    def piece(self, title: str, value: object, path: str, materials: Mapping[str, Material]) -> Piece:
        """Return one piece."""
        optional = ("uses", "edges", "grain", "up", "on_fold", "strip", "notches", "lines", "motif", "on_border")
        given = fields(value, path, ("outline", "layers"), optional)
        outline = self.outlines.outline(given["outline"], joined(path, "outline"))
        up, border = (self.edge(given.get(key), outline, joined(path, key)) for key in ("up", "on_border"))
        layers = self.layers(given["layers"], joined(path, "layers"), materials, given.get("grain") == "bias")
        motif = None
        if "motif" in given:
            titles = [layer.name for layer in layers]
            motif = read_motif(given["motif"], joined(path, "motif"), self.expressions, titles)
        return Piece(
            title,
            _uses(given.get("uses"), title, joined(path, "uses")),
            outline,
            self.treatments(given.get("edges"), outline, joined(path, "edges")),
            choice(given.get("grain"), joined(path, "grain"), GRAINS, "along"),
            truth(given.get("on_fold"), joined(path, "on_fold")),
            truth(given.get("strip"), joined(path, "strip")),
            self.notches(given.get("notches"), outline, joined(path, "notches")),
            self.lines(given.get("lines"), outline, joined(path, "lines")),
            layers,
            up,
            motif,
            border,
        )

    def edge(self, value: object, outline: Outline, path: str) -> str | None:
        """Return the name of an edge of the piece, None where none is named."""
        if value is not None and name(value, path) not in outline.edges:
            refuse("names no edge of the piece", path)
        return None if value is None else str(value)

    def treatments(self, value: object, outline: Outline, path: str) -> dict[str, Treatment]:
        """Return what is said of each edge, with the defaults where nothing is."""
        found = dict.fromkeys(outline.edges, Treatment(self.allowance, None, None))
        for edge, entry, where in named(value, path):
            if edge not in found:
                refuse("names no edge of the piece", where)
            given = fields(entry, where, (), ("allowance", "fate", "finish"))
            fate = choice(given.get("fate"), joined(where, "fate"), FATES, "") or None
            finish = choice(given.get("finish"), joined(where, "finish"), FINISHES, "") or None
            allowance = ZERO if fate in WITHOUT_ALLOWANCE else self.allowance
            if "allowance" in given:
                allowance = self.expressions.drawn(given["allowance"], joined(where, "allowance"))
            found[edge] = Treatment(allowance, fate, finish)
        return found

    def notches(self, value: object, outline: Outline, path: str) -> dict[str, Notch]:
        """Return the notches by name."""
        found = {}
        for title, entry, where in named(value, path):
            given = fields(entry, where, ("edge", "at"))
            edge = given["edge"]
            if not isinstance(edge, str) or edge not in outline.edges:
                refuse("names no edge of the piece", joined(where, "edge"))
            is_middle = given["at"] == "middle" and "middle" not in self.expressions.dimensions
            if is_middle:
                at = outline.edges[edge].length.times(HALF)
            else:
                at = self.expressions.drawn(given["at"], joined(where, "at"))
            found[title] = Notch(edge, at, is_middle)
        return found

    def lines(self, value: object, outline: Outline, path: str) -> dict[str, Line]:
        """Return the drawn lines by name; a flat has none, since their places are measured from its box."""
        found: dict[str, Line] = {}
        if value and outline.flat is not None:
            refuse("are lines on a flat, whose points are computed at each size", path)
        for title, entry, where in named(value, path):
            given = fields(entry, where, ("from", "to"), ("kind",))
            kind = choice(given.get("kind"), joined(where, "kind"), LINE_KINDS, LINE_KINDS[0])
            start = self.outlines.place(given["from"], joined(where, "from"))
            end = self.outlines.place(given["to"], joined(where, "to"))
            found[title] = Line(start, end, self.line_length(start, end), kind)
        return found

    def line_length(self, start: Place, end: Place) -> Form:
        """Return the length between two places: |d| parallel to an axis, else a root."""
        across, along = end[0] - start[0], end[1] - start[1]
        if not (across.is_zero or along.is_zero):
            return diagonal(across, along)
        reach = along if across.is_zero else across
        return -reach if sign_of(self.outlines.base.rational(reach)) < 0 else reach

    def layers(self, value: object, path: str, materials: Mapping[str, Material], on_bias: bool) -> tuple[Layer, ...]:
        """Return the layers in order."""
        found: dict[str, Layer] = {}
        for index, entry in enumerate(items(value, path)):
            where = joined(path, index)
            given = fields(entry, where, ("material",), ("name", "count", "face", "oversize", "inset", "shrinks"))
            material = name(given["material"], joined(where, "material"))
            if material not in materials:
                refuse("names no material", joined(where, "material"))
            title = name(given.get("name", material), joined(where, "name"))
            if title in found:
                refuse("is the name of two layers of the piece", where)
            choice(given.get("face"), joined(where, "face"), ("up", "down"), "up")
            oversize, inset = (
                self.expressions.drawn(given[key], joined(where, key)) if key in given else None
                for key in ("oversize", "inset")
            )
            count = self.expressions.whole(given.get("count", 1), joined(where, "count"))
            shrinks = materials[material].shrinks
            if "shrinks" in given:
                shrinks = read_shrinks(given["shrinks"], joined(where, "shrinks"))
            if on_bias:
                shrinks = max(shrinks), max(shrinks)
            found[title] = Layer(title, material, count, oversize or ZERO, inset, shrinks)
        return tuple(found.values())


def _uses(value: object, title: str, path: str) -> dict[str, bool]:
    if value is None:
        return {title: False}
    found: dict[str, bool] = {}
    for index, entry in enumerate(items(value, path)):
        where = joined(path, index)
        if isinstance(entry, str):
            use, mirrored = name(entry, where), False
        else:
            given = fields(entry, where, ("name",), ("mirrored",))
            use = name(given["name"], joined(where, "name"))
            mirrored = truth(given.get("mirrored"), joined(where, "mirrored"))
        if use in found:
            refuse("is the name of two uses", where)
        found[use] = mirrored
    return found
