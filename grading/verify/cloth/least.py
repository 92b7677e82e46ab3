"""The least length of a layout: what its certificate shows of all ways to lay its pieces."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from grading.verify.cloth.bounds import Item, NotShown, Strip, least_length
from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laid import Lain
from grading.verify.cloth.nests import Nest
from grading.verify.cloth.places import lies_on_border, may_lie_aside
from grading.verify.cloth.purchase import percentage_text
from grading.verify.document.pattern import Pattern
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, Ruler, length_or_none
from grading.verify.printing.printed import shown
from grading.verify.verdict import Claim

SHORTEST = "as short as can be"


@dataclass(frozen=True)
class Least:
    """Judges certificates of one cloth; `items` are pieces and nested pairs, `held` the pieces that the print holds."""

    pattern: Pattern
    cloth: Cloth
    items: Sequence[Lain | Nest]
    held: frozenset[int]
    ruler: Ruler

    def strip(self) -> Strip:
        """Return what was to be laid, in steps of the grid, each piece with the gap beyond it."""
        cloth = self.cloth
        gap = cloth.steps(cloth.gap)
        repeat = (0, 0)
        if self.held:
            across, along = (0 if length is None else cloth.steps(length) for length in cloth.repeat)
            repeat = across, along
        return Strip(cloth.steps(cloth.width) + gap, repeat, tuple(self._item(item, gap) for item in self.items))

    def _item(self, item: Lain | Nest, gap: int) -> Item:
        cloth, wanted = self.cloth, item.wanted
        piece = self.pattern.pieces.get(wanted.row.piece) if wanted.row.uses else None
        is_held = item.index in self.held
        on_border = piece is not None and lies_on_border(piece, cloth)
        across, along = item.measures
        place = None
        if is_held:
            x = cloth.left + cloth.width - item.right if cloth.material.border == "right" else item.x - cloth.left
            place = cloth.steps(x), cloth.steps(item.y)
        return Item(
            cloth.steps(across) + gap,
            cloth.steps(along) + gap,
            may_lie_aside(cloth, piece, wanted, is_held),
            wanted.on_fold or on_border,
            place,
        )

    def shown_length(self, certificate: object) -> Fraction:
        """Return the length that a certificate shows to be needed, in mm. Raises `NotShown`."""
        cloth = self.cloth
        bound = least_length(self.strip(), certificate) * cloth.grid
        if cloth.sheet_along is None:
            return max(bound - cloth.gap, Fraction(0))
        # So many sheets are a strip of so many lengths of a sheet, each with a gap beyond it.
        return cloth.sheet_along * math.ceil(bound / (cloth.sheet_along + cloth.gap))

    def claim(self, given: Any) -> Claim:
        """Return the claim that no layout of these pieces is shorter than the layout says."""
        about, role = f"least:{self.cloth.role}", self.cloth.role
        fields = given if isinstance(given, dict) and set(given) == {"length", "certificate"} else {}
        least = length_or_none(fields.get("length"), PRINTED_DIGITS)
        if least is None or self.ruler.printed(least) != fields["length"]:
            says = f"{role}: no least length is told"
            return Claim("least", about, shown(given), "a length and a certificate", False, says)
        try:
            found = self.shown_length(fields["certificate"])
        except NotShown as reason:
            says = f"{role}: nothing shows that {shown(fields['length'])} is needed: {reason}"
            return Claim("least", about, shown(fields["length"]), "not shown", False, says)
        right = self.ruler.printed(found)
        holds = least <= found
        says = f"{role}: no layout is shorter than {right}"
        if not holds:
            says = f"{role}: {shown(fields['length'])} is said to be the least; only {right} is shown to be needed"
        return Claim("least", about, shown(fields["length"]), right, holds, says)


def above_text(length: Fraction, least: Fraction, has_nests: bool) -> str:
    """Return how far a length is above the least one, in per cent with one decimal, up; of which pairs, if any."""
    pairs = " with these pairs" if has_nests else ""
    if length == least:
        return f"{SHORTEST}{pairs}"
    if least <= 0:
        return "above nothing that is shown"
    return f"at most {percentage_text(math.ceil((length / least - 1) * 1000))} above the least possible{pairs}"
