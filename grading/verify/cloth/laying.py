"""What is to be laid of each row of the cut list: pieces, joined strips and blocks for bias binding, as rectangles."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.layout_settings import CONTINUOUS
from grading.verify.cutting.cut_list import CLOSE, Row
from grading.verify.document.materials import NOTHING
from grading.verify.document.pattern import Pattern
from grading.verify.exact.enclosures import Enclosure, added, scaled, square_root
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.unreadable import refuse

PIECE, STRIP, BLOCK = "piece", "strip", "block"
BIAS = "bias"
ROOT_OF_2 = square_root(Fraction(2))
# More strips than that are cut from no cloth; a bound of the time that hostile input can take.
MOST_STRIPS = 5000
MOST_LAID = 5000


@dataclass(frozen=True)
class BiasCut:
    """How a binding is cut from its block: into how many strips, how long along their middle, how wide."""

    strips: int
    centre: Enclosure
    width: Enclosure


@dataclass(frozen=True)
class Wanted:
    """One rectangle to lay, in mm on the grid, measured across and along as it lies when it is not turned.

    `pair`: both layers of folded cloth are used. `on_fold`: it lies at the fold, with half of its measure across.
    """

    row: Row
    kind: str
    across: Fraction
    along: Fraction
    mirrored: bool = False
    on_fold: bool = False
    pair: bool = False
    bias: BiasCut | None = None

    @property
    def may_turn(self) -> bool:
        """Whether it may be turned by 90 degrees, as far as the way in which it is cut goes."""
        return self.kind == PIECE and self.row.grain != BIAS and not self.on_fold

    @property
    def cloth_area(self) -> Fraction:
        """The area of cloth that it is, all layers together."""
        return self.across * self.along * (2 if self.pair or self.on_fold else 1)


@dataclass(frozen=True)
class Laying:
    """What is to be laid on a cloth, at the printed size."""

    pattern: Pattern
    point: Point
    cloth: Cloth
    bias: str

    def wanted(self, row: Row) -> list[Wanted]:
        """Return the rectangles of a row in the order of their copies; those of strips are in no order of length."""
        if row.count + row.mirrored > MOST_LAID:
            refuse(f"has more than {MOST_LAID} pieces to lay", f"cut_list.{row.letter}")
        if self._is_bias_binding(row):
            return [self._block(row)]
        if self._may_be_joined(row) and _upper(row.size[0]) > self.cloth.width:
            return list(self._strips(row))
        across, along = (self._raised(side) for side in row.size)
        if row.grain == BIAS:
            across = along = self._diagonal(row)
        if not self.cloth.is_folded:
            return [Wanted(row, PIECE, across, along, mirrored) for mirrored in _sorts(row.count, row.mirrored)]
        if row.on_fold is not None:
            half = self._raised(row.on_fold[0])
            sorts = _sorts(row.count, row.mirrored)
            return [Wanted(row, PIECE, half, along, mirrored, on_fold=True) for mirrored in sorts]
        return list(self._on_two_layers(Wanted(row, PIECE, across, along)))

    def _on_two_layers(self, one: Wanted) -> Iterator[Wanted]:
        """Yield pairs of a plain and a mirrored piece; of one sort too if it is its own mirror image; then the rest."""
        row = one.row
        pairs = min(row.count, row.mirrored)
        plain, mirrored = row.count - pairs, row.mirrored - pairs
        if self._is_rectangle(row):
            left = plain + mirrored
            pairs += left // 2
            plain, mirrored = (left % 2 if plain else 0), (left % 2 if mirrored else 0)
        yield from [replace(one, pair=True)] * pairs
        yield from [one] * plain
        yield from [replace(one, mirrored=True)] * mirrored

    def _is_rectangle(self, row: Row) -> bool:
        piece = self.pattern.pieces.get(row.piece) if row.uses else None
        if piece is None:
            return True
        segments = [segment for _, segment in piece.outline.segments]
        return len(segments) == 4 and all(segment.is_level or segment.is_upright for segment in segments)

    def _is_bias_binding(self, row: Row) -> bool:
        return not row.uses and row.grain == BIAS

    def _may_be_joined(self, row: Row) -> bool:
        return not row.uses or self.pattern.pieces[row.piece].strip

    def _raised(self, length: Enclosure) -> Fraction:
        return self.cloth.raised(_upper(length))

    def _diagonal(self, row: Row) -> Fraction:
        both = added(*row.size)
        return self._raised(_over_root_2(both))

    @property
    def _allowance(self) -> Fraction:
        return self.point.near(self.pattern.allowance)

    def _strips(self, row: Row) -> Iterator[Wanted]:
        """Yield the strips of each piece: whole widths of cloth and the rest. On folded cloth they lie at the fold."""
        length, along = _upper(row.size[0]), self._raised(row.size[1])
        width, join = self.cloth.width * self.cloth.layers, 2 * self._allowance
        if width <= join:
            refuse("needs strips of a cloth that is not wider than two joins", f"cut_list.{row.letter}")
        count = 1 if length <= width else -((join - length) // (width - join))
        if count * (row.count + row.mirrored) > MOST_STRIPS:
            refuse(f"needs more than {MOST_STRIPS} strips", f"cut_list.{row.letter}")
        rest = length + join * (count - 1) - width * (count - 1)
        for mirrored in _sorts(row.count, row.mirrored):
            for strip in [width] * (count - 1) + [rest]:
                across = self.cloth.raised(strip / self.cloth.layers)
                yield Wanted(row, STRIP, across, along, mirrored, on_fold=self.cloth.is_folded)

    def _block(self, row: Row) -> Wanted:
        if self.bias == CONTINUOUS:
            return self._continuous(row)
        best: Wanted | None = None
        for strips in range(1, MOST_STRIPS):
            found = self._in_strips(row, strips)
            if best is not None and _lower(scaled(row.size[1], Fraction(strips))) > best.along:
                return best
            if found.across <= self.cloth.width and (best is None or found.along < best.along):
                best = found
        if best is None:
            refuse("fits on this cloth in no number of strips", f"cut_list.{row.letter}")
        return best

    def _in_strips(self, row: Row, strips: int) -> Wanted:
        """Return the block of so many strips at 45°: their middle lines, and what they need side by side."""
        whole = scaled(row.size[0], Fraction(row.count))
        joins = scaled(ROOT_OF_2, 2 * self._allowance * (strips - 1))
        centre = scaled(added(whole, joins), Fraction(1, strips))
        across = _over_root_2(whole)
        across = scaled(added(across, (2 * self._allowance * (strips - 1),) * 2), Fraction(1, strips))
        width = row.size[1]
        beside = _times_root_2(scaled(width, Fraction(strips)))
        cut = BiasCut(strips, centre, width)
        return Wanted(row, BLOCK, self._raised(across), self._raised(added(across, beside)), bias=cut)

    def _continuous(self, row: Row) -> Wanted:
        """Return the square that is sewn to a tube and cut round and round."""
        whole = scaled(row.size[0], Fraction(row.count))
        low, high = whole[0] * row.size[1][0], whole[1] * row.size[1][1]
        root = square_root(low)[0], square_root(high)[1]
        joins = 2 * self._allowance
        side = self._raised(added(root, (joins, joins)))
        if side > self.cloth.width:
            refuse("is a square that is wider than the cloth", f"cut_list.{row.letter}")
        return Wanted(row, BLOCK, side, side, bias=BiasCut(1, whole, row.size[1]))


def _sorts(plain: int, mirrored: int) -> list[bool]:
    return [False] * plain + [True] * mirrored


def _lower(length: Enclosure) -> Fraction:
    return length[0]


def _upper(length: Enclosure) -> Fraction:
    """Return the upper end, less the uncertainty of what is not rational, so that a length on a mark stays there."""
    return length[1] if length[0] == length[1] else length[1] - CLOSE


def _over_root_2(length: Enclosure) -> Enclosure:
    return _times_root_2(scaled(length, Fraction(1, 2)))


def _times_root_2(length: Enclosure) -> Enclosure:
    if length == (NOTHING, NOTHING):
        return length
    return length[0] * ROOT_OF_2[0], length[1] * ROOT_OF_2[1]
