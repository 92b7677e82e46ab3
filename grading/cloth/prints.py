"""Places of a print: where motifs lie, and how prints run on from piece to piece."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.cloth.stuff import Stuff
from grading.cloth.turning import Lie, Sort, lie_of, seen
from grading.cut import Row
from grading.cut.geometry import Place, minus
from grading.cut.pieces import cut_box, value_of
from grading.document.materials import Material
from grading.errors import Fault, LayoutFaults
from grading.exact import print_length, read_length
from grading.grade import Grade
from grading.model.pieces import Layer
from grading.model.seams import SeamEntry

ZERO = Fraction(0)


@dataclass(frozen=True)
class Anchor:
    """That a point of a sort's drawing, as it is sewn, lies on this point of the washed print; mm, exact."""

    point: Place
    on: Place


@dataclass(frozen=True)
class Match:
    """That a print runs on: the second sort's drawing, moved by `shift`, lies as sewn beside or on the first's."""

    path: str
    first: Sort
    second: Sort
    shift: Place


def printed_pieces(grade: Grade, role: str, material: Material) -> frozenset[str]:
    """The pieces with a layer of this material that lies by its print: by a motif, or because a print runs on."""
    if material.repeat is None or (material.repeat.across is None and material.repeat.along is None):
        return frozenset()
    motifs = {name for name in grade.pieces if _has_motif(grade, name, role)}
    matched = {sort.piece for match in _matches(grade, role) for sort in (match.first, match.second)}
    return frozenset(motifs | matched)


def _layers(grade: Grade, piece: str, role: str) -> list[Layer]:
    return [layer for layer in grade.model.pieces[piece].layers if layer.material == role]


def lies_by_print(grade: Grade, row: Row) -> bool:
    """Whether this layer of a piece that lies by the print does so itself."""
    motif = grade.model.pieces[row.piece].written.motif
    return motif is None or motif.layers is None or row.layer in motif.layers


def _has_motif(grade: Grade, piece: str, role: str) -> bool:
    motif = grade.model.pieces[piece].written.motif
    layers = _layers(grade, piece, role)
    return motif is not None and any(motif.layers is None or layer.name in motif.layers for layer in layers)


def anchors(grade: Grade, stuff: Stuff) -> dict[Sort, Anchor]:
    """What holds each sort of the pieces that lie by the print of a cloth. Raises LayoutFaults.

    Motifs first; then along the matches, in the document's order; where neither piece of a match has a motif, the
    first in the document's order lies with its drawing's (0, 0) on the repeat's corner.
    """
    held: dict[Sort, Anchor] = {}
    for name in grade.pieces:
        if _has_motif(grade, name, stuff.role):
            for mirrored in sorted({use.mirrored for use in grade.model.pieces[name].uses}):
                held[Sort(name, mirrored)] = _motif_anchor(grade, stuff, name, mirrored=mirrored)
    matches = list(_matches(grade, stuff.role))
    matched = {sort for match in matches for sort in (match.first, match.second)}
    order = sorted(matched, key=lambda sort: (list(grade.pieces).index(sort.piece), sort.mirrored))
    _carry(grade, stuff, matches, held)
    for sort in order:
        if sort not in held:
            held[sort] = Anchor((ZERO, ZERO), (ZERO, ZERO))
            _carry(grade, stuff, matches, held)
    _refuse_two_places(grade, stuff, matches, held)
    return held


def _motif_anchor(grade: Grade, stuff: Stuff, name: str, *, mirrored: bool) -> Anchor:
    motif, draft = grade.model.pieces[name].written.motif, grade.model.draft
    if motif is None:
        return Anchor((ZERO, ZERO), (ZERO, ZERO))
    forms = [draft.stated(f"pieces.{name}.motif.point.{place}", value) for place, value in enumerate(motif.point)]
    point = value_of(forms[0], grade.values), value_of(forms[1], grade.values)
    on = tuple(read_length(value, stuff.unit) * part for value, part in zip(motif.on, stuff.kept, strict=True))
    return Anchor(seen(point, mirrored=mirrored), (on[0], on[1]))


def _carry(grade: Grade, stuff: Stuff, matches: list[Match], held: dict[Sort, Anchor]) -> None:
    """Give each sort that a match joins to a held one its place."""
    moved = True
    while moved:
        moved = False
        for match in matches:
            if match.first in held and match.second not in held:
                anchor = held[match.first]
                held[match.second] = Anchor(minus(anchor.point, match.shift), anchor.on)
                moved = True
            elif match.second in held and match.first not in held:
                anchor = held[match.second]
                back = (-match.shift[0], -match.shift[1])
                held[match.first] = Anchor(minus(anchor.point, back), anchor.on)
                moved = True


def _refuse_two_places(grade: Grade, stuff: Stuff, matches: list[Match], held: Mapping[Sort, Anchor]) -> None:
    faults = []
    for match in matches:
        first, second = (_lie(grade, stuff, sort) for sort in (match.first, match.second))
        names = f"{match.first.piece} and {match.second.piece}"
        if first.sense != second.sense:
            problem = f"{names} lie different ways on {stuff.role}, so that no print runs on"
            faults.append(Fault(match.path, problem, "give both the same grain and the same `up`"))
            continue
        here, there = held[match.first], held[match.second]
        wanted = minus(here.point, match.shift)
        apart = minus(minus(second.way(*there.point), there.on), minus(second.way(*wanted), here.on))
        off = [_off(distance, repeat) for distance, repeat in zip(apart, stuff.repeat, strict=True)]
        for distance, repeat, way in zip(off, stuff.repeat, ("across", "along"), strict=True):
            if distance:
                faults.append(
                    Fault(
                        match.path,
                        f"the print of {stuff.role} cannot run on from {match.first.piece} to {match.second.piece}:"
                        f" other motifs and matches hold them {print_length(distance)} apart {way}"
                        f" (the washed repeat is {print_length(repeat)})",
                        "take one `match` or `motif` out, or make the size a multiple of the repeat",
                    )
                )
    if faults:
        raise LayoutFaults(faults)


def _off(distance: Fraction, repeat: Fraction) -> Fraction:
    """How far two places are apart modulo the repeat; 0 where there is none that way."""
    if not repeat:
        return ZERO
    over = distance % repeat
    return min(over, repeat - over)


def _lie(grade: Grade, stuff: Stuff, sort: Sort) -> Lie:
    return lie_of(grade.pieces[sort.piece], stuff, mirrored=sort.mirrored)


def place_on_print(grade: Grade, stuff: Stuff, row: Row, lie: Lie, anchor: Anchor) -> tuple[Fraction, Fraction]:
    """Where the corner nearest to (0, 0) of a row's pieces lies on the repeat: x from where the width that is laid
    begins, and y; on the grid, the nearest to the exact place (ties upwards), modulo the repeat.
    """
    drawn = grade.pieces[row.piece]
    layer = next(layer for layer in drawn.piece.layers if layer.name == row.layer)
    least, greatest = cut_box(drawn) if layer.inset is None else _stitched_box(grade, row.piece)
    middle = seen(((least[0] + greatest[0]) / 2, (least[1] + greatest[1]) / 2), mirrored=lie.mirrored)
    x, y = lie.way(*minus(anchor.point, middle))
    across, along = (stuff.raised(side) / 2 for side in (row.first.across, row.first.along))
    shrinks = layer.shrinks
    corner = (
        anchor.on[0] - x / (1 - shrinks[0]) - across - stuff.start,
        anchor.on[1] - y / (1 - shrinks[1]) - along,
    )
    return _on_grid(corner[0], stuff.repeat[0], stuff.grid), _on_grid(corner[1], stuff.repeat[1], stuff.grid)


def _on_grid(place: Fraction, repeat: Fraction, grid: Fraction) -> Fraction:
    if not repeat:
        return ZERO
    return (place / grid + Fraction(1, 2)).__floor__() * grid % repeat


def _stitched_box(grade: Grade, piece: str) -> tuple[Place, Place]:
    points = [point for _, curve in grade.pieces[piece].curves for point in (curve.start, curve.end)]
    across, along = [point[0] for point in points], [point[1] for point in points]
    return (min(across), min(along)), (max(across), max(along))


def _matches(grade: Grade, role: str) -> Iterator[Match]:
    """The matches of pieces that both have this material. Raises LayoutFaults."""
    for name, seam in grade.model.seams.items():
        if seam.written.match and _share(grade, seam.join[0].use, seam.to[0].use, role):
            yield _seam_match(grade, f"seams.{name}.match", seam.join[0], seam.to[0])
    for name, covering in grade.model.coverings.items():
        written = covering.written
        if written.match and _share(grade, written.piece, written.over, role):
            yield _covering_match(grade, name, written.piece, written.over)


def _sort(grade: Grade, use: str) -> Sort:
    found = grade.model.draft.index.uses[use]
    return Sort(found.piece, found.mirrored)


def _share(grade: Grade, first: str, second: str, role: str) -> bool:
    uses = grade.model.draft.index.uses
    if first not in uses or second not in uses:
        return False
    return all(_layers(grade, uses[use].piece, role) for use in (first, second))


def _seam_match(grade: Grade, path: str, join: SeamEntry, to: SeamEntry) -> Match:
    """The second's drawing moved so that the sewing starts meet. Raises LayoutFaults for edges that cannot match."""
    first, second = _sort(grade, join.use), _sort(grade, to.use)
    refused = LayoutFaults(
        [
            Fault(
                path,
                f"{join.reference} and {to.reference} are not drawn on opposite sides of one level or upright seam",
                "take `match` out, or draw the two pieces as they lie beside each other",
            )
        ]
    )
    if not all(entry.edge.is_level or entry.edge.is_upright for entry in (join, to)):
        raise refused
    start, way = _run(grade, join, first)
    other_start, other_way = _run(grade, to, second)
    sides = [
        entry.forward != sort.mirrored for entry, sort in ((join, first), (to, second))
    ]  # whether the outside lies on the left of the sewing way
    if way != other_way or sides[0] == sides[1]:
        raise refused
    return Match(path, first, second, minus(start, other_start))


def _run(grade: Grade, entry: SeamEntry, sort: Sort) -> tuple[Place, tuple[int, int]]:
    """Where an edge's sewing starts, and which way it runs (signs), as the use is sewn."""
    ends = [
        seen((value_of(point.x, grade.values), value_of(point.y, grade.values)), mirrored=sort.mirrored)
        for point in (entry.edge.start, entry.edge.end)
    ]
    start, end = ends if entry.forward else reversed(ends)
    x, y = minus(end, start)
    return start, ((x > 0) - (x < 0), (y > 0) - (y < 0))


def _covering_match(grade: Grade, name: str, piece: str, over: str) -> Match:
    own, under = _sort(grade, piece), _sort(grade, over)
    boxes = []
    for sort in (own, under):
        (left, _), (right, top) = _stitched_box(grade, sort.piece)
        boxes.append((-right, top) if sort.mirrored else (left, top))
    clear = grade.clearances[name]
    place = boxes[1][0] + clear["left"], boxes[1][1] - clear["top"]
    return Match(f"coverings.{name}.match", under, own, minus(place, boxes[0]))


def idle_matches(grade: Grade, materials: Mapping[str, Material]) -> Iterator[Fault]:
    """Matches of pieces that no printed material is common to; one whose repeat is empty is plain on purpose."""
    printed = [role for role, material in materials.items() if material.repeat is not None]
    pairs = [
        (f"seams.{name}.match", seam.join[0].use, seam.to[0].use)
        for name, seam in grade.model.seams.items()
        if seam.written.match
    ]
    pairs += [
        (f"coverings.{name}.match", covering.written.piece, covering.written.over)
        for name, covering in grade.model.coverings.items()
        if covering.written.match
    ]
    for path, first, second in pairs:
        if not any(_share(grade, first, second, role) for role in printed):
            yield Fault(
                path,
                f"{first} and {second} have no common material with a repeat",
                "take `match` out, or give the printed material a `repeat`",
            )
