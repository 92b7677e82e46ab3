"""Closures: that each outline closes, is simple, runs clockwise, keeps to its box, and is the same beside a fold."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Piece
from grading.verify.exact.lengths import put_on_nearest
from grading.verify.geometry.shapes import Shape
from grading.verify.verdict import Claim


def closed_claims(pattern: Pattern, shapes: Mapping[str, Shape]) -> Iterator[Claim]:
    """Yield a claim for each piece, and one more for each that is cut on the fold."""
    for title, piece in pattern.pieces.items():
        shape = shapes[title]
        area = shape.area
        crossing = shape.crossing()
        outside = shape.leaves_box() if shape.is_curved else None
        holds = crossing is None and area[0] > 0 and outside is None
        says = f"the outline of the {title} closes, is simple and runs clockwise"
        if crossing is not None:
            close = ", or comes too close to tell" if shape.is_curved else ""
            says = f"the outline of the {title} touches itself{close}: {crossing[0]} and {crossing[1]}"
        elif outside is not None:
            says = f"the {outside} of the {title} runs out of the box of its corners: make its outermost point an end"
        elif not holds:
            says = f"the outline of the {title} does not run clockwise, or holds no cloth"
        yield Claim("closed", f"closed:{title}", f"{put_on_nearest(area[0], 0)} mm²", "above 0 mm²", holds, says)
        if piece.on_fold:
            yield _fold_claim(piece, shape)


def _fold_claim(piece: Piece, shape: Shape) -> Claim:
    holds = shape.is_symmetric(1 if piece.turned else 0)
    says = f"the {piece.name} is cut on the fold, and {'' if holds else 'not '}the same on both sides of it"
    return Claim("closed", f"closed:{piece.name}:fold", "one side", "the other side", holds, says)
