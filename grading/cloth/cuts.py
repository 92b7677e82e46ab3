"""The order of cuts in words, for a rotary cutter: strips across the cloth, then columns, then pieces."""

from __future__ import annotations

from collections.abc import Iterator

from grading.cloth.layout import Arrangement, Column, Laid, Strip
from grading.cloth.stuff import Stuff


def cuts_of(stuff: Stuff, arrangement: Arrangement) -> tuple[str, ...]:
    """What to cut, in order; nothing for cloths that are not cut in strips."""
    if arrangement.strips is None:
        return ()
    return tuple(
        text
        for number, strip in enumerate(arrangement.strips, 1)
        for text in _strip_cuts(stuff, arrangement.pieces, number, strip)
    )


def _strip_cuts(stuff: Stuff, pieces: tuple[Laid, ...], number: int, strip: Strip) -> Iterator[str]:
    text = stuff.text
    yield (
        f"Strip {number}: cut across the whole cloth, {text(strip.along)} wide,"
        f" from {text(strip.y)} to {text(strip.y + strip.along)} from the cut end."
    )
    for column in strip.columns:
        yield f"Strip {number}: {_column_cuts(stuff, pieces, strip, column)}"


def _column_cuts(stuff: Stuff, pieces: tuple[Laid, ...], strip: Strip, column: Column) -> str:
    text = stuff.text
    laid = [pieces[place] for place in column.pieces]
    names = _listed([_named(stuff, each) for each in laid])
    start = f"from the left edge cut off {text(column.across)} at {text(column.x)}"
    if len(laid) == 1 and laid[0].along == strip.along and laid[0].across == column.across:
        return f"{start}: it is {names}."
    return f"{start}, and of that cut {names}, from the cut end on."


def _named(stuff: Stuff, laid: Laid) -> str:
    return f"{laid.item.letter} ({stuff.text(laid.across)} × {stuff.text(laid.along)})"


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
