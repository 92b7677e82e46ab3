"""The least length of a layout: what its certificate shows of all ways to lay its pieces."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from grading.verify.bounds import Item, NotShown, Strip, least_length
from grading.verify.cloths import Cloth
from grading.verify.fraction import Fraction
from grading.verify.laid import Lain
from grading.verify.lengths import PRINTED_DIGITS, Ruler, length_or_none
from grading.verify.pattern import Pattern
from grading.verify.places import lies_on_border, may_lie_aside
from grading.verify.printed import shown
from grading.verify.purchase import percentage_text
from grading.verify.verdict import Claim

SHORTEST = "as short as can be"


@dataclass(frozen=True)
class Least:
    """Judges certificates of one cloth; `held` are the pieces that the print holds."""

    pattern: Pattern
    cloth: Cloth
    lain: Sequence[Lain]
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
        return Strip(cloth.steps(cloth.width) + gap, repeat, tuple(self._item(item, gap) for item in self.lain))

    def _item(self, item: Lain, gap: int) -> Item:
        cloth, wanted = self.cloth, item.wanted
        piece = self.pattern.pieces.get(wanted.row.piece) if wanted.row.uses else None
        is_held = item.index in self.held
        on_border = piece is not None and lies_on_border(piece, cloth)
        place = None
        if is_held:
            x = cloth.left + cloth.width - item.right if cloth.material.border == "right" else item.x - cloth.left
            place = cloth.steps(x), cloth.steps(item.y)
        return Item(
            cloth.steps(wanted.across) + gap,
            cloth.steps(wanted.along) + gap,
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


def above_text(length: Fraction, least: Fraction) -> str:
    """Return how far a length is above the least one, in per cent with one decimal, up."""
    if length == least:
        return SHORTEST
    if least <= 0:
        return "above nothing that is shown"
    return f"at most {percentage_text(math.ceil((length / least - 1) * 1000))} above the least possible"
