"""Offcuts: what is left of the cloth laid, in rectangles that are worth keeping."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laid import Lain
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, Ruler, length_or_none
from grading.verify.printing.printed import printed_claim, shown
from grading.verify.verdict import Claim

KEYS = ("x", "y", "across", "along")
# left, right, start, end, and the sheet
Room = tuple[Fraction, Fraction, Fraction, Fraction, int]


def offcut_claims(
    cloth: Cloth, lain: Sequence[Lain], length: Fraction, least: Fraction, given: Any, ruler: Ruler
) -> Iterator[Claim]:
    """Yield that each offcut is cloth that no piece and no other offcut is of, and not smaller than `least`."""
    path = f"cloths.{cloth.role}.offcuts"
    if not isinstance(given, (list, tuple)):
        yield printed_claim(path, given, "a list", False)
        return
    end = length if cloth.sheet_along is None else cloth.sheet_along
    whole = cloth.left, cloth.left + cloth.width, Fraction(0), end
    taken: list[Room] = [(item.x, item.right, item.y, item.end, item.sheet) for item in lain]
    for index, entry in enumerate(given):
        room = _room(entry, cloth, ruler)
        fault = "a place and measures" if room is None else _fault(room, whole, least, taken)
        yield printed_claim(f"{path}.{index}", _text(entry), fault or "free cloth", not fault)
        if room is not None:
            taken.append(room)


def _room(entry: Any, cloth: Cloth, ruler: Ruler) -> Room | None:
    keys = {*KEYS, "sheet"} if cloth.sheet_along is not None else set(KEYS)
    if not isinstance(entry, dict) or set(entry) != keys:
        return None
    x, y, across, along = (length_or_none(entry[key], PRINTED_DIGITS) for key in KEYS)
    sheet = entry.get("sheet", 0)
    if x is None or y is None or across is None or along is None or type(sheet) is not int:
        return None
    if any(ruler.printed(value) != entry[key] for key, value in zip(KEYS, (x, y, across, along), strict=True)):
        return None
    return x, x + across, y, y + along, sheet


def _fault(room: Room, whole: Sequence[Fraction], least: Fraction, taken: Sequence[Room]) -> str:
    left, right, start, end, sheet = room
    if right - left < least or end - start < least or right <= left or end <= start:
        return "at least the smallest offcut that counts"
    if left < whole[0] or right > whole[1] or start < whole[2] or end > whole[3]:
        return "within the cloth that is laid"
    if any(left < r and a < right and start < e and s < end and sheet == n for a, r, s, e, n in taken):
        return "free of pieces and of other offcuts"
    return ""


def _text(entry: Any) -> str:
    fields = entry if isinstance(entry, dict) else {}
    return ", ".join(shown(fields.get(key)) for key in KEYS)
