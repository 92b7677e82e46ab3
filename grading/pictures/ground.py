"""The cloth under the pieces: selvages or fold, ends, direction, repeat of the print, what is left over."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import svg

from grading.drawing.cut_path import Place, millimetres
from grading.drawing.strokes import GLYPH, INK, NARROW, PALE, SMALL, TEXT, THIN, WIDE, Frame, line, text


def ground(
    cloth: Mapping[str, Any], frame: Frame, size: tuple[float, float], sheet: int | None
) -> Iterator[svg.Element]:
    """The cloth itself: its ends, its selvages or fold, the direction, the repeat, what is left over."""
    width, length = size
    right, bottom = frame.at((width, length))
    yield svg.Rect(
        x=frame.left, y=frame.top, width=right - frame.left, height=bottom - frame.top, fill=PALE, stroke="none"
    )
    folded = cloth["style"] == "folded"
    for across, name in (
        (0.0, "fold" if folded else "left selvage"),
        (width, "selvages" if folded else "right selvage"),
    ):
        y = frame.at((across, 0))[1]
        yield line((frame.left - 8, y), (right + 8, y), WIDE, "12 3 2 3" if name == "fold" else None)
        if sheet is None:
            yield text(name, (frame.left, y - 4 if across == 0 else y + TEXT + 3), SMALL)
    for along in (0.0, length):
        x = frame.at((0, along))[0]
        yield line((x, frame.top), (x, bottom), NARROW, None if along == 0 else "6 4")
    if sheet is not None:
        yield text(f"sheet {sheet + 1}", (frame.left, frame.top - 4), SMALL)
    for left in cloth.get("offcuts", ()):
        if sheet is None or left.get("sheet") == sheet:
            yield from _offcut(left, frame)
    yield from _repeats(cloth, frame, size)
    yield from _arrow(cloth["direction"], (right + 14, frame.top + 14))


def _offcut(left: Mapping[str, Any], frame: Frame) -> Iterator[svg.Element]:
    x, y = frame.at((millimetres(left["x"]), millimetres(left["y"])))
    wide, high = frame.size(millimetres(left["along"])), frame.size(millimetres(left["across"]))
    step = 9.0
    lines: list[svg.PathData] = []
    for number in range(1, int((wide + high) / step) + 1):
        reach = number * step
        lines += [
            svg.M(x + min(reach, wide), y + max(0.0, reach - wide)),
            svg.L(x + max(0.0, reach - high), y + min(reach, high)),
        ]
    yield svg.Path(d=lines, stroke=INK, stroke_width=THIN, fill="none", opacity=0.45)
    words = f"{left['across']} × {left['along']}"
    if len(words) * SMALL * GLYPH < wide - 8 and high > 16:
        middle = (x + wide / 2, y + high / 2 + 4)
        yield svg.Rect(
            x=middle[0] - len(words) * 3.2 - 3, y=middle[1] - 12, width=len(words) * 6.4 + 6, height=16, fill=PALE
        )
        yield text(words, middle, SMALL, anchor="middle")


def _repeats(cloth: Mapping[str, Any], frame: Frame, size: tuple[float, float]) -> Iterator[svg.Element]:
    """The lattice of the print."""
    repeat = cloth.get("repeat") or {}
    width, length = size
    for way, most in (("along", length), ("across", width)):
        step = millimetres(repeat[way]) if repeat.get(way) else 0.0
        number = 1
        while step and number * step < most:
            ends = (
                ((0, number * step), (width, number * step))
                if way == "along"
                else ((number * step, 0), (number * step, length))
            )
            yield line(frame.at(ends[0]), frame.at(ends[1]), 0.4, "1 4")
            number += 1


def _arrow(direction: str, place: Place) -> Iterator[svg.Element]:
    """The direction of the cloth at its end: an arrow along it, with a head at each end that may be up."""
    if direction == "any":
        return
    x, y = place
    yield line((x, y), (x + 26, y), WIDE, None)
    yield svg.Path(d=[svg.M(x + 26, y), svg.L(x + 18, y - 4), svg.L(x + 18, y + 4), svg.Z()], fill=INK)
    if direction == "two-way":
        yield svg.Path(d=[svg.M(x, y), svg.L(x + 8, y - 4), svg.L(x + 8, y + 4), svg.Z()], fill=INK)
