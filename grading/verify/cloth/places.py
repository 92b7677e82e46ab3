"""Where pieces lie: within the width of the cloth, apart from each other, turned as they may be, at fold and border."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laid import Lain, one_claim
from grading.verify.cloth.laying import Wanted
from grading.verify.cloth.turning import faces, turn_of
from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Piece
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import Ruler
from grading.verify.exact.points import Point
from grading.verify.geometry.shapes import Shape
from grading.verify.verdict import Claim

ONE_WAY, ANY = "one-way", "any"


def inside_claim(cloth: Cloth, lain: Sequence[Lain], ruler: Ruler) -> Claim:
    """Return the claim that all pieces lie on the cloth, on its grid."""
    left, right = cloth.left, cloth.left + cloth.width

    def faults() -> Iterator[str]:
        for item in lain:
            if item.x < left or item.right > right or item.y < 0:
                here, room = (
                    f"{ruler.printed(start)} to {ruler.printed(end)}"
                    for start, end in ((item.x, item.right), (left, right))
                )
                yield f"{cloth.role}: {item.title} lies from {here} across; the cloth goes from {room}"
            if cloth.sheet_along is not None and item.end > cloth.sheet_along:
                yield f"{cloth.role}: {item.title} runs beyond the end of its sheet, {ruler.printed(cloth.sheet_along)}"
            if not (cloth.is_on_grid(item.x - left) and cloth.is_on_grid(item.y)):
                yield f"{cloth.role}: {item.title} lies off the grid of {ruler.printed(cloth.grid)}"

    says = f"{cloth.role}: all pieces lie within the width of the cloth"
    return one_claim("inside", cloth.role, ruler.printed(cloth.width), faults(), says)


def _between(ruler: Ruler, start: Fraction, end: Fraction) -> str:
    return f"{ruler.printed(start)} to {ruler.printed(end)}"


def apart_claim(
    cloth: Cloth, lain: Sequence[Lain], ruler: Ruler, nested: Collection[tuple[int, int]], others: Iterator[str]
) -> Claim:
    """Return the claim that no two pieces overlap or lie nearer than the gap.

    `nested` are the places of the two of each pair whose boxes may; `others` are the faults of these pairs.
    """

    def faults() -> Iterator[str]:
        yield from others
        for first, second in too_near(lain, cloth.gap):
            if (min(first.index, second.index), max(first.index, second.index)) in nested:
                continue
            if _overlap(first, second, Fraction(0)):
                yield f"{cloth.role}: {first.title} and {second.title} overlap"
            else:
                yield f"{cloth.role}: {first.title} and {second.title} lie nearer than {ruler.printed(cloth.gap)}"

    says = f"{cloth.role}: no two pieces overlap, or lie nearer than {ruler.printed(cloth.gap)}"
    return one_claim("apart", cloth.role, ruler.printed(cloth.gap), faults(), says)


def too_near(lain: Sequence[Lain], gap: Fraction) -> Iterator[tuple[Lain, Lain]]:
    """Yield the pairs that are not apart by the gap, one way or the other, on the same sheet."""
    active: list[Lain] = []
    for item in sorted(lain, key=lambda one: (one.sheet, one.y)):
        active = [other for other in active if other.sheet == item.sheet and other.end + gap > item.y]
        for other in active:
            if _overlap(other, item, gap):
                yield other, item
        active.append(item)


def _overlap(first: Lain, second: Lain, gap: Fraction) -> bool:
    return (
        first.x < second.right + gap
        and second.x < first.right + gap
        and first.y < second.end + gap
        and second.y < first.end + gap
    )


@dataclass(frozen=True)
class Turning:
    """Judges how pieces are turned; `shapes` are the outlines at this size."""

    pattern: Pattern
    cloth: Cloth
    shapes: Mapping[str, Shape]

    def claim(self, lain: Sequence[Lain], held: Sequence[Lain]) -> Claim:
        """Return the claim that each piece is turned as its cloth allows; `held` are those that a motif holds."""
        says = f"{self.cloth.role}: each piece is turned as the cloth allows"
        faults = self._faults(lain, held)
        return one_claim("turned", self.cloth.role, self.cloth.material.direction, faults, says)

    def _faults(self, lain: Sequence[Lain], held: Sequence[Lain]) -> Iterator[str]:
        held_places = {item.index for item in held}
        for item in lain:
            is_held = item.index in held_places
            allowed = self.allowed(item, is_held)
            if item.turned not in allowed:
                may = " or ".join(map(str, allowed))
                yield f"{self.cloth.role}: {item.title} is turned by {item.turned}; this cloth allows {may}"
            if is_held and item.turned != held[0].turned and self.cloth.material.direction != ONE_WAY:
                yield f"{self.cloth.role}: {item.title} lies by the print the other way up than the first"

    def allowed(self, item: Lain, is_held: bool) -> tuple[int, ...]:
        """Return by how much a piece may be turned on its cloth."""
        piece = self.pattern.pieces.get(item.wanted.row.piece) if item.wanted.row.uses else None
        if self.cloth.material.direction == ONE_WAY:
            return (0,) if piece is None else (upright_turn(piece, self.shapes[piece.name]),)
        return (0, 90, 180, 270) if may_lie_aside(self.cloth, piece, item.wanted, is_held) else (0, 180)


def may_lie_aside(cloth: Cloth, piece: Piece | None, wanted: Wanted, is_held: bool) -> bool:
    """Whether a piece may be turned by 90 degrees."""
    tied = is_held or (piece is not None and lies_on_border(piece, cloth))
    return cloth.material.direction == ANY and wanted.may_turn and not tied


def upright_turn(piece: Piece, shape: Shape) -> int:
    """Return the turn at which what is up, as the bag is worn, lies towards greater y."""
    if piece.up is None or piece.grain == "bias":
        return 0
    top, bottom = ("left", "right") if piece.turned else ("top", "bottom")
    if piece.up in {top, bottom}:
        return 180 if piece.up == bottom else 0
    parts = [part for part in shape.parts if part.edge == piece.up]
    across, along = (parts[-1].end[axis] - parts[0].start[axis] for axis in (0, 1))
    if piece.turned:
        return 180 if abs(along) > abs(across) and along < 0 else 0
    return 180 if abs(across) > abs(along) and across < 0 else 0


def fold_claim(cloth: Cloth, lain: Sequence[Lain]) -> Claim:
    """Return the claim that what is cut on the fold lies at it."""
    faults = (
        f"{cloth.role}: {item.title} is cut on the fold, and does not lie at it"
        for item in lain
        if item.wanted.on_fold and item.x != 0
    )
    return one_claim("fold", cloth.role, "0", faults, f"{cloth.role}: what is cut on the fold lies at it")


def lies_on_border(piece: Piece, cloth: Cloth) -> bool:
    """Whether a piece has to lie on the border of this cloth."""
    return piece.on_border is not None and cloth.material.border is not None


def border_claim(pattern: Pattern, point: Point, cloth: Cloth, lain: Sequence[Lain]) -> Claim:
    """Return the claim that edges that are to lie on the border do."""
    side = -1 if cloth.material.border == "left" else 1

    def faults() -> Iterator[str]:
        for item in lain:
            piece = pattern.pieces.get(item.wanted.row.piece) if item.wanted.row.uses else None
            if piece is None or not lies_on_border(piece, cloth) or piece.on_border is None:
                continue
            turn = turn_of(piece.turned, item.wanted.mirrored, item.turned)
            if faces(piece, piece.on_border, point, turn) != side:
                yield f"{cloth.role}: the {piece.on_border} of {item.title} does not face the border"
            at_end = item.x == cloth.left if side < 0 else item.right == cloth.left + cloth.width
            if not at_end:
                yield f"{cloth.role}: {item.title} does not lie on the border"

    says = f"{cloth.role}: edges that are to lie on the border do"
    return one_claim("border", cloth.role, cloth.material.border or "", faults(), says)
