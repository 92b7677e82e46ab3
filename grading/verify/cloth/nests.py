"""Nested pairs: two pieces of a row that lie head to tail, and count as one where boxes are counted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laid import Lain, one_claim
from grading.verify.cloth.laying import BIAS, PIECE, Wanted
from grading.verify.cloth.layout_settings import SCISSORS
from grading.verify.cloth.places import ONE_WAY, lies_on_border
from grading.verify.cloth.turning import turn_of
from grading.verify.document.pieces import Piece
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, length_or_none
from grading.verify.geometry.hulls import are_apart, hull_of
from grading.verify.geometry.shapes import Spot
from grading.verify.printing.graded import Graded
from grading.verify.printing.leaves import Near
from grading.verify.printing.printed import shown
from grading.verify.verdict import Claim


@dataclass(frozen=True)
class Nest:
    """Two entries that lie as one, in mm: the box about both."""

    first: Lain
    second: Lain

    @property
    def index(self) -> int:
        """The place of the first among the entries."""
        return self.first.index

    @property
    def wanted(self) -> Wanted:
        """What each of the two is."""
        return self.first.wanted

    @property
    def x(self) -> Fraction:
        """Where the box about both begins across."""
        return min(self.first.x, self.second.x)

    @property
    def y(self) -> Fraction:
        """Where the box about both begins along."""
        return min(self.first.y, self.second.y)

    @property
    def right(self) -> Fraction:
        """Where the box about both ends across."""
        return max(self.first.right, self.second.right)

    @property
    def measures(self) -> tuple[Fraction, Fraction]:
        """Across and along of the box about both, as it lies with the two turned by 0 and 180."""
        across, along = self.right - self.x, max(self.first.end, self.second.end) - self.y
        return (along, across) if self.first.is_turned_aside else (across, along)

    @property
    def cloth_area(self) -> Fraction:
        """The area of the box about both."""
        across, along = self.measures
        return across * along


@dataclass(frozen=True)
class Pairs:
    """The nested pairs that may be, and what is wrong with the others."""

    nests: tuple[Nest, ...]
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Nesting:
    """Judges the nested pairs of one cloth; `held` are the places of the entries that the print holds."""

    graded: Graded
    cloth: Cloth
    held: frozenset[int]

    def pairs(self, lain: Sequence[Lain]) -> Pairs:
        """Return the pairs of the entries that have one number."""
        numbered: dict[int, list[Lain]] = {}
        for item in lain:
            if item.nested is not None:
                numbered.setdefault(item.nested, []).append(item)
        nests, faults = [], []
        for number, items in numbered.items():
            if len(items) != 2:
                titles = ", ".join(item.title for item in items)
                faults.append(f"{self.cloth.role}: nested {number} is {titles}; a nested pair is of two entries")
                continue
            fault = self._fault(*items)
            if fault is None:
                nests.append(Nest(*items))
            else:
                titles = f"{items[0].title} and {items[1].title}"
                faults.append(f"{self.cloth.role}: {titles} cannot lie as a nested pair: {fault}")
        return Pairs(tuple(nests), tuple(faults))

    def _fault(self, first: Lain, second: Lain) -> str | None:
        one, other = first.wanted, second.wanted
        if second.index != first.index + 1:
            return "they do not follow one another"
        if (one.row.letter, one.row.layer) != (other.row.letter, other.row.layer):
            return "they are not of one row"
        if one.mirrored != other.mirrored:
            return "one is mirrored and the other is not"
        if first.sheet != second.sheet:
            return "they lie on two sheets"
        if (first.turned + 180) % 360 != second.turned:
            return f"the second is turned by {second.turned}, the first by {first.turned}; they are to differ by 180"
        return self._never(first)

    def _never(self, item: Lain) -> str | None:
        """Return why pieces of this row and cloth are never nested; None where they may be."""
        cloth, wanted = self.cloth, item.wanted
        row = wanted.row
        piece = self.graded.pattern.pieces.get(row.piece) if row.uses else None
        if cloth.style != SCISSORS:
            return f"this cloth is cut in style {cloth.style}, and they are for {SCISSORS}"
        if cloth.material.direction == ONE_WAY:
            return "the cloth is one-way"
        if piece is None or wanted.kind != PIECE or wanted.on_fold or row.grain == BIAS:
            return "they are strips, or lie on the fold or on the bias"
        if item.index in self.held or lies_on_border(piece, cloth):
            return "the print or the border holds them"
        if row.allowance != "included" or row.trim is not None:
            return "they are not cut along their cut line at once"
        parts = self.graded.shapes[piece.name].parts
        if any(part.turns is not None or part.bend is not None for part in parts):
            return "their outline has a curve"
        if all(0 in part.reach for part in parts):
            return "all their edges run along the grain or across it"
        return None

    def claim(self, pairs: Pairs) -> Claim:
        """Return the claim that all pairs are of pieces that may be nested, head to tail."""
        role = self.cloth.role
        says = f"{role}: nested pairs are two of a row, head to tail"
        return one_claim("nested", role, f"{len(pairs.nests)} pairs", iter(pairs.faults), says)

    def faults_apart(self, nests: Sequence[Nest]) -> Iterator[str]:
        """Yield the pairs of which no edge keeps the cut lines the gap apart, on the points that the grade prints."""
        role, ruler = self.cloth.role, self.graded.pattern.ruler
        cuts: dict[str, list[Spot] | str] = {}
        for nest in nests:
            title = nest.wanted.row.piece
            spots = cuts[title] = cuts.get(title) or self.printed_cut(self.graded.pattern.pieces[title])
            if isinstance(spots, str):
                yield f"{role}: {spots}"
                continue
            first, second = (hull_of(self.laid_spots(item, spots)) for item in (nest.first, nest.second))
            if not are_apart(first, second, self.cloth.gap):
                titles = f"{nest.first.title} and {nest.second.title}"
                yield f"{role}: the cut lines of {titles} overlap, or lie nearer than {ruler.printed(self.cloth.gap)}"

    def printed_cut(self, piece: Piece) -> list[Spot] | str:
        """Return the points of a cut line as printed, each near the true one; or what is wrong with them."""
        expected = self.graded.expected.piece(piece, "")["cut"]
        entry = self.graded.printed_pieces.get(piece.name)
        given = entry.get("cut") if isinstance(entry, Mapping) else None
        fault = f"the grade does not print the cut line of {piece.name} as it is"
        if not isinstance(given, (list, tuple)) or len(given) != len(expected):
            return fault
        spots: list[Spot] = []
        for stretch, right in zip(given, expected, strict=True):
            for key in ("start", "end"):
                spot = _spot(stretch.get(key) if isinstance(stretch, Mapping) else None, right[key])
                if spot is None:
                    return f"{fault} ({shown(key)} of a stretch of it)"
                spots.append(spot)
        return spots

    def laid_spots(self, item: Lain, spots: Sequence[Spot]) -> list[Spot]:
        """Return the points of a cut line where they lie on the cloth: their box in the middle of the laid one."""
        piece = self.graded.pattern.pieces[item.wanted.row.piece]
        turn = turn_of(piece.turned, item.wanted.mirrored, item.turned)
        turned = [turn.of(spot) for spot in spots]
        middles = (item.x + item.right) / 2, (item.y + item.end) / 2
        by = [
            middle - (min(spot[axis] for spot in turned) + max(spot[axis] for spot in turned)) / 2
            for axis, middle in enumerate(middles)
        ]
        return [(x + by[0], y + by[1]) for x, y in turned]


def _spot(given: object, right: Sequence[Near]) -> Spot | None:
    if not isinstance(given, (list, tuple)) or len(given) != 2:
        return None
    if not all(leaf.accepts(value) for leaf, value in zip(right, given, strict=True)):
        return None
    x, y = (length_or_none(value, PRINTED_DIGITS) for value in given)
    return None if x is None or y is None else (x, y)


def laid_items(lain: Sequence[Lain], nests: Sequence[Nest]) -> list[Lain | Nest]:
    """Return what is laid, in the order of the entries: a nested pair in the place of its first one."""
    firsts = {nest.first.index: nest for nest in nests}
    seconds = {nest.second.index for nest in nests}
    return [firsts.get(item.index, item) for item in lain if item.index not in seconds]
