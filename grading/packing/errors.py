"""What packing refuses."""

from __future__ import annotations


class DoesNotFit(ValueError):
    """An item that cannot lie on the strip at all: its index, how wide it is at least, and the width; in steps."""

    def __init__(self, item: int, across: int, width: int) -> None:
        self.item = item
        self.across = across
        self.width = width
        super().__init__(f"item {item} is {across} steps across at least, and the strip is {width} wide")


class NoStrips(ValueError):
    """An item that strips have no place for, by its index: one at the fold, or one with a motif."""

    def __init__(self, item: int, *, at_fold: bool) -> None:
        self.item = item
        self.at_fold = at_fold
        what = "lies at the fold" if at_fold else "has a motif to meet"
        super().__init__(f"item {item} {what}, which strips across the whole cloth cannot give it")
