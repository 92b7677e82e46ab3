"""How a piece is divided: where, into which parts, and what becomes of each of its edges."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.document.expressions import THICKNESS, ExpressionFault
from grading.document.pattern import Pattern
from grading.document.pieces import Piece
from grading.document.values import Expression
from grading.form import Form
from grading.substitute.apart import Drawing, Refused, draw, refuse
from grading.substitute.changes import SplitChange
from grading.substitute.crossing import Crossing, Sheet, Way, cross
from grading.substitute.layers import Json
from grading.substitute.names import check_new
from grading.substitute.references import NewEdge
from grading.substitute.texts import Writer

ENDS: Mapping[Way, tuple[str, str]] = {"along": ("top", "bottom"), "across": ("left", "right")}
"""The sides that the two parts keep."""
OTHER_ENDS: Mapping[Way, tuple[str, str]] = {
    "along": ("upper_part", "lower_part"),
    "across": ("left_part", "right_part"),
}
"""What the parts are named by where names with the sides are taken."""
REST = "rest"
"""How the part is named that is divided once more."""


@dataclass(frozen=True)
class Naming:
    """The names of the parts, those of their uses for each use of the whole, and what they end in.

    `of_rest` is true where what is divided is the rest of a division before.
    """

    parts: tuple[str, str]
    uses: Mapping[str, tuple[str, str]]
    endings: tuple[str, str]
    of_rest: bool = False

    def named(self, name: str) -> tuple[str, str]:
        """The names that something of the whole has in the two parts."""
        stem = self.stem(name)
        return f"{stem}_{self.endings[0]}", f"{stem}_{self.endings[1]}"

    def stem(self, name: str) -> str:
        """The name of the whole that the first division was of."""
        return name.removesuffix(f"_{REST}") if self.of_rest else name


@dataclass(frozen=True)
class Division:
    """A piece that is divided by a straight seam; the upper or left part is the first.

    `extents` are the heights (or widths) of the parts, `texts` the same as expressions; `crossing` is what becomes of
    the edges.
    """

    piece: str
    way: Way
    naming: Naming
    extents: tuple[Form, Form]
    texts: tuple[Expression, Expression]
    sheet: Sheet
    crossing: Crossing
    allowance: Expression | None

    @property
    def ends(self) -> tuple[str, str]:
        """The sides that the parts keep."""
        return ENDS[self.way]

    @property
    def parts(self) -> tuple[str, str]:
        """The names of the parts."""
        return self.naming.parts

    @property
    def uses(self) -> Mapping[str, tuple[str, str]]:
        """The two uses that each use becomes."""
        return self.naming.uses

    @property
    def seams(self) -> dict[str, str]:
        """The seam between the parts of each use."""
        single, ending = len(self.uses) == 1, "split_2" if self.naming.of_rest else "split"
        return {use: f"{self.naming.stem(self.piece if single else use)}_{ending}" for use in self.uses}

    def part_of(self, edge: str) -> int | None:
        """Which part an edge belongs to; None for one that is divided."""
        return self.crossing.part_of.get(edge)

    @property
    def passed(self) -> Mapping[str, tuple[tuple[int, int], Form]]:
        """The divided edges: the parts that they run through in turn, and their length in the first of these."""
        return self.crossing.passed

    @property
    def lengths(self) -> tuple[Form, ...]:
        """The lengths of what is divided, in each part; none is drawn shorter than a step of the ruler."""
        found = [*self.extents]
        for edge, (_, length) in self.passed.items():
            found += [length, self.sheet.outline.by_name[edge].length - length]
        return tuple(found)

    def renamed(self, names: tuple[str, str]) -> dict[str, NewEdge]:
        """What each edge becomes, for a use or a piece whose parts have these names."""
        found = {}
        for edge in self.sheet.outline.by_name:
            part = self.part_of(edge)
            if part is not None:
                found[edge] = NewEdge((f"{names[part]}.{edge}",))
            elif edge in self.passed:
                order, length = self.passed[edge]
                found[edge] = NewEdge((f"{names[order[0]]}.{edge}", f"{names[order[1]]}.{edge}"), length)
        return found


def divide(
    document: Json, pattern: Pattern, change: SplitChange, naming: Naming | None = None
) -> tuple[Division, Drawing, Writer]:
    """Find how a piece is divided, and draw it with what is laid on it, or it on. Raises Refused."""
    if change.split not in pattern.pieces:
        known = ", ".join(list(pattern.pieces)[:12])
        raise refuse("split", f"no piece is named {change.split!r}", f"the document has {known}")
    piece = pattern.pieces[change.split]
    way: Way = "along" if change.from_ in ENDS["along"] else "across"
    _check_fold(change.split, piece, way)
    uses = [use.name for use in piece.named_uses(change.split)]
    drawing = draw(pattern, _near(pattern, uses, change.split), _laid(pattern, uses))
    writer = writer_for(pattern)
    if drawing.pieces[change.split].outline.flat is not None:
        raise refuse("split", f"{change.split} is a part of a ring, whose parts no rule tells", "draw them as pieces")
    sheet = Sheet(drawing, drawing.pieces[change.split].outline, way)
    extents, texts = _extents(change, sheet, writer)
    naming = naming or _naming(document, change, uses, (ENDS[way], OTHER_ENDS[way]))
    _check_names(document, change.split, naming)
    division = Division(
        change.split,
        way,
        naming,
        extents,
        texts,
        sheet,
        cross(sheet, change.split, extents[0], change.from_),
        change.allowance,
    )
    _check_new_edges(division)
    for seam in division.seams.values():
        check_new(document, "seams", seam, "names")
    return division, drawing, writer


def writer_for(pattern: Pattern) -> Writer:
    """The writer of expressions of a document."""
    return Writer(pattern.unit, next(name for name, each in pattern.dimensions.items() if each.kind == "length"))


def _check_new_edges(division: Division) -> None:
    """The edges along the seam are named as the sides that they are on; no other edge of the part may be."""
    for part, end in enumerate(reversed(division.ends)):
        if division.part_of(end) == part:
            raise refuse(
                "split",
                f"both parts of {division.piece} would need an edge {end}: the seam, and the one named so",
                "name its edges as the sides that they are on",
            )


def _check_fold(name: str, piece: Piece, way: Way) -> None:
    if piece.on_fold and (piece.grain == "bias" or (piece.grain == "along") == (way == "across")):
        across = "top from bottom" if piece.grain == "along" else "left from right"
        raise refuse(
            "from",
            f"{name} is cut on the fold, and its parts would not be the same on both sides of it",
            f"split it {across}, or take `on_fold` out of the piece",
        )


def _laid(pattern: Pattern, uses: list[str]) -> list[str]:
    return [name for name, covering in pattern.coverings.items() if {covering.piece, covering.over} & {*uses}]


def _near(pattern: Pattern, uses: list[str], piece: str) -> list[str]:
    """The piece and those that are laid on it, or it on; each use among them must be of one piece."""
    near = {*uses}
    for name in _laid(pattern, uses):
        near |= {pattern.coverings[name].piece, pattern.coverings[name].over}
    owners: dict[str, list[str]] = {}
    for name, other in pattern.pieces.items():
        for named in other.named_uses(name):
            owners.setdefault(named.name, []).append(name)
    for use in near:
        if len(owners.get(use, ())) > 1:
            raise refuse(
                "split",
                f"{use!r} is a use of {' and '.join(owners[use])}, by what is chosen",
                f"give the uses names of their own before {piece} is split",
            )
    return [owners[use][0] for use in near]


def _extents(
    change: SplitChange, sheet: Sheet, writer: Writer
) -> tuple[tuple[Form, Form], tuple[Expression, Expression]]:
    try:
        at = sheet.drawing.form(change.at)
        rest = sheet.whole - at
        text = writer.text(rest)
    except ExpressionFault as broken:
        raise refuse("at", broken.problem, broken.remedy) from None
    if not at.is_rational:
        raise refuse("at", "it has pi or a root in it, so that no ruler measures it", "give a place without")
    if any(name.startswith(THICKNESS) for name in at.names):
        raise refuse("at", "it names a thickness", "write the length that it comes to, or a dimension")
    if change.from_ in {"top", "left"}:
        return (at, rest), (change.at, text)
    return (rest, at), (text, change.at)


def _naming(document: Json, change: SplitChange, uses: list[str], endings: tuple[tuple[str, str], ...]) -> Naming:
    """The names of the parts and of their uses: with the first endings with which none is taken."""
    if change.names is not None and change.names[0] == change.names[1]:
        raise refuse("names", "both parts have one name", "give each its own")
    for ends in endings:
        parts = change.names or (f"{change.split}_{ends[0]}", f"{change.split}_{ends[1]}")
        new = {use: parts if use == change.split else (f"{use}_{ends[0]}", f"{use}_{ends[1]}") for use in uses}
        naming = Naming(parts, new, ends)
        try:
            _check_names(document, change.split, naming)
        except Refused:
            if ends == endings[-1]:
                raise
        else:
            return naming
    raise AssertionError(endings)


def _check_names(document: Json, piece: str, naming: Naming) -> None:
    others = {**document, "pieces": {name: each for name, each in document["pieces"].items() if name != piece}}
    for part in naming.parts:
        check_new(others, "pieces", part, "names")
    for use in (use for pair in naming.uses.values() for use in pair):
        check_new(others, "uses", use, "names")
