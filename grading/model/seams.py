"""Seams as symbols: the entries of both sides with their lengths, and the relations that join them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from grading.document.expressions import has_thickness
from grading.document.index import Entry, read_entry
from grading.document.pieces import SideEntry
from grading.document.seams import Seam as WrittenSeam
from grading.exact import read_number, read_percentage
from grading.form import Form, length
from grading.model.draft import Draft
from grading.model.outline import rectangle_edges
from grading.model.pieces import Piece
from grading.model.relation import Origin, Relation, Sense
from grading.model.segment import Edge


@dataclass(frozen=True)
class Parts:
    """Everything with edges: pieces by name, and zips as rectangles by name."""

    draft: Draft
    pieces: Mapping[str, Piece]
    zips: Mapping[str, tuple[Edge, ...]]

    def piece_of(self, use: str) -> Piece:
        """The piece that a use is of."""
        return self.pieces[self.draft.index.uses[use].piece]

    def edge(self, use: str, name: str) -> Edge:
        """An edge of a use or a zip."""
        if use in self.zips:
            return next(edge for edge in self.zips[use] if edge.name == name)
        return self.piece_of(use).outline.by_name[name]


@dataclass(frozen=True)
class SeamEntry:
    """One entry of a side: an edge or part of it, or a line, followed forward or backward."""

    use: str
    edge: Edge
    is_line: bool
    forward: bool
    start: Form
    end: Form
    is_whole: bool

    @cached_property
    def length(self) -> Form:
        """The length that is sewn."""
        return self.end - self.start

    @property
    def reference(self) -> str:
        """The edge as a maker knows it."""
        return f"{self.use}.{self.edge.name}"


Side = tuple[SeamEntry, ...]


@dataclass(frozen=True)
class Seam:
    """A seam as symbols.

    `ease` is the length that the eased side has more than the other one; `factor` how many times as long it is
    (1 unless proportion or fullness says otherwise). `written_ease` is the ease before it was put on the ruler.
    """

    name: str
    written: WrittenSeam
    join: Side
    to: Side
    ease: Form
    written_ease: Form
    factor: Fraction
    tolerance: Fraction
    relation: Relation
    notch_relations: tuple[Relation, ...]

    @cached_property
    def join_length(self) -> Form:
        """The length of the join side."""
        return total_length(self.join)

    @cached_property
    def to_length(self) -> Form:
        """The length of the other side."""
        return total_length(self.to)


def total_length(side: Side) -> Form:
    """The length of a side."""
    total = Form()
    for entry in side:
        total += entry.length
    return total


def zip_edges(draft: Draft) -> dict[str, tuple[Edge, ...]]:
    """Each zip as a rectangle of its length and its exposed width."""
    return {
        name: rectangle_edges(
            draft,
            draft.rational(f"findings.{name}.zip.length", part.length),
            draft.rational(f"findings.{name}.zip.exposed", part.exposed),
        )
        for name, part in draft.index.zips.items()
    }


def read_side(parts: Parts, path: str, written: Sequence[SideEntry], *, forward: bool) -> Side:
    """The entries of a side; `forward` is the direction of those that say none."""
    return tuple(_entry(parts, f"{path}.{number}", read_entry(entry), forward) for number, entry in enumerate(written))


def _entry(parts: Parts, path: str, entry: Entry, forward: bool) -> SeamEntry:
    way = forward if entry.direction is None else entry.direction == "forward"
    if entry.is_line:
        edge = parts.piece_of(entry.use).lines[entry.edge].edge
        return SeamEntry(entry.use, edge, True, way, Form(), edge.length, True)
    edge = parts.edge(entry.use, entry.edge)
    start = Form() if entry.start is None else parts.draft.drawn(f"{path}.from", entry.start)
    end = edge.length if entry.end is None else parts.draft.drawn(f"{path}.to", entry.end)
    return SeamEntry(entry.use, edge, False, way, start, end, entry.start is None and entry.end is None)


def read_seams(parts: Parts) -> dict[str, Seam]:
    """All seams; their faults are noted in the draft."""
    return {name: _seam(parts, name, written) for name, written in parts.draft.pattern.seams.items()}


def _seam(parts: Parts, name: str, written: WrittenSeam) -> Seam:
    draft, path = parts.draft, f"seams.{name}"
    join = read_side(parts, f"{path}.join", written.join, forward=True)
    to = read_side(parts, f"{path}.to", written.to, forward=False)
    ease, written_ease, factor = _ease(draft, f"{path}.ease", written)
    tolerance = draft.plain_length(draft.pattern.seam_tolerance if written.tolerance is None else written.tolerance)
    eased, other = (join, to) if written.eased == "join" else (to, join)
    form = total_length(eased) - ease - total_length(other).times(factor)
    is_exact = form.is_rational and factor == 1 and not _is_nominal(parts, written, (*join, *to))
    relation = Relation(
        id=f"seam:{name}",
        origin=Origin.SEAM,
        form=form,
        sense=Sense.EQUAL,
        says=f"{_shown(join)} is as long as {_shown(to)}{_ease_shown(written)}",
        because=written.says or f"they are sewn to each other in the seam {name}",
        path=path,
        tolerance=None if is_exact else tolerance,
    )
    notches = tuple(
        relation
        for number in range(len(written.notches))
        for relation in _notch_relations(parts, name, number, written, (join, to), (ease, factor, tolerance))
    )
    return Seam(name, written, join, to, ease, written_ease, factor, tolerance, relation, notches)


def _has_bought_zip(parts: Parts, entries: Side) -> bool:
    """Whether a zip takes part that is used at the length it is sold in, which may lie on no ruler."""
    zips = parts.draft.index.zips
    return any(entry.use in zips and not zips[entry.use].shortened for entry in entries)


def _is_nominal(parts: Parts, written: WrittenSeam, entries: Side) -> bool:
    """Whether a zip's bought length or a material's thickness decides about a seam: neither need lie on a ruler."""
    follows_thickness = written.ease is not None and not _is_share(written.ease) and has_thickness(written.ease)
    return follows_thickness or _has_bought_zip(parts, entries)


def _is_share(ease: str | float) -> bool:
    return isinstance(ease, str) and read_percentage(ease) is not None


def _ease(draft: Draft, path: str, written: WrittenSeam) -> tuple[Form, Form, Fraction]:
    if written.fullness is not None:
        return Form(), Form(), read_number(written.fullness)
    if written.ease is None:
        return Form(), Form(), Fraction(1)
    share = read_percentage(written.ease) if isinstance(written.ease, str) else None
    if share is not None:
        return Form(), Form(), 1 + share
    return draft.drawn(path, written.ease, keeps_thickness=True), draft.stated(path, written.ease), Fraction(1)


def _notch_relations(
    parts: Parts,
    name: str,
    number: int,
    written: WrittenSeam,
    sides: tuple[Side, Side],
    easing: tuple[Form, Fraction, Fraction],
) -> list[Relation]:
    pair = written.notches[number]
    ease, factor, tolerance = easing
    places = [notch_place(parts, side, reference) for side, reference in zip(sides, pair, strict=True)]
    on_join, on_to = places
    ident, path = f"notch:{name}:{number}", f"seams.{name}.notches.{number}"
    says = f"the notches {pair[0]} and {pair[1]} meet"
    because = f"the seam {name} is sewn notch to notch"
    if not ease.is_zero:
        room = length(tolerance) + ease.times(1 if parts.draft.at_base(ease) >= 0 else -1)
        apart = on_join - on_to
        return [
            Relation(f"{ident}:{when}", Origin.NOTCH, room + apart.times(sign), Sense.NOT_BELOW, says, because, path)
            for when, sign in (("early", 1), ("late", -1))
        ]
    form = on_join - on_to.times(factor) if written.eased == "join" else on_join.times(factor) - on_to
    is_exact = form.is_rational and factor == 1 and not _is_nominal(parts, written, (*sides[0], *sides[1]))
    return [Relation(ident, Origin.NOTCH, form, Sense.EQUAL, says, because, path, None if is_exact else tolerance)]


def notch_place(parts: Parts, side: Side, reference: str) -> Form:
    """How far along a side a notch lies, from the side's start."""
    use, _, name = reference.partition(".")
    notch = parts.piece_of(use).notches[name]
    before, places = Form(), []
    for entry in side:
        if (entry.use, entry.edge.name) == (use, notch.edge.name) and not entry.is_line:
            within = notch.distance - entry.start if entry.forward else entry.end - notch.distance
            places.append((before + within, within, entry.length))
        before += entry.length
    # An edge may be sewn in parts: the part that the notch lies in at the base size counts.
    base = parts.draft.at_base
    return next((place for place, within, whole in places if 0 <= base(within) <= base(whole)), places[0][0])


def _shown(side: Side) -> str:
    return " + ".join(entry.reference for entry in side)


def _ease_shown(written: WrittenSeam) -> str:
    if written.fullness is not None:
        return f", with {written.fullness} times fullness in {written.eased!r}"
    return "" if written.ease is None else f", with ease of {written.ease} in {written.eased!r}"
