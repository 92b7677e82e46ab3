"""`sizewright layouts`: how the pieces of a size are laid on each cloth, and how much of it to buy."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json, write_text
from api.command.tables import Alignment, printable, table, terminal_width

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Callable, Iterator, Mapping
    from fractions import Fraction

COLUMNS: tuple[tuple[str, Alignment], ...] = (
    ("", "left"),
    ("piece", "left"),
    ("across from", "right"),
    ("along from", "right"),
    ("across", "right"),
    ("along", "right"),
    ("turned", "right"),
    ("notes", "left"),
)


def run(options: Namespace) -> int:
    """Prints the layouts as tables, as JSON or as CSV; writes a picture where asked."""
    document = grading.read_document(read_file(options.pattern))
    grade = grading.grade_size(document, size=options.size)
    hurry = None if options.seconds is None else _hurry(options.seconds)
    layouts = grading.layouts_document(grading.layouts_of(grade, settings(options), hurry=hurry))
    if options.svg is not None:
        write_text(options.svg, grading.layout_picture(layouts, grading.grade_document(grade)))
    if options.json:
        print(to_json(layouts))
    elif options.csv:
        print(grading.layouts_csv(layouts), end="")
    else:
        print("\n\n".join(_parts(layouts, terminal_width())))
        if options.svg is not None:
            print(f"\nThe picture is in {options.svg}")
    return 0


def settings(options: Namespace) -> dict[str, Any]:
    """The settings of the command line, as the reference has them."""
    given = {name: getattr(options, name) for name in ("style", "gap", "edge", "spare", "effort")}
    return {name: value for name, value in given.items() if value is not None}


def _hurry(seconds: float) -> Callable[[Fraction], bool]:
    begun = time.monotonic()
    return lambda share: time.monotonic() >= begun + seconds * float(share)


def _parts(layouts: Mapping[str, Any], width: int | None) -> Iterator[str]:
    name = layouts["size"]["name"] or "as asked"
    yield f"{printable(layouts['pattern'])}, {printable(name)}: cutting layouts, on a ruler of {layouts['ruler']}"
    headings, sides = [heading for heading, _ in COLUMNS], [side for _, side in COLUMNS]
    for role, layout in layouts["cloths"].items():
        yield "\n".join(printable(line) for line in _head(role, layout))
        yield table(headings, sides, [_laid(piece) for piece in layout["pieces"]], width)
    without = [f"{row['material']} ({row['says']})" for row in layouts["without"]]
    if without:
        yield printable(f"Not laid out, since no width is given: {', '.join(without)}")


def _head(role: str, layout: Mapping[str, Any]) -> Iterator[str]:
    yield f"{_words(role)}, {layout['usable_width']} usable: {layout['says']}"
    buy = layout["buy"]
    bought = f"buy {buy['length']}" if "length" in buy else f"buy sheets: {buy['sheets']}"
    cost = f", {buy['cost']['amount']} {buy['cost']['currency']}" if "cost" in buy else ""
    yield f"{layout['length']} long, {layout['above']}; {bought}{cost}; {buy['waste']} is left over"
    others = [f"{row['usable_width']} wide: {row['buy'] or 'does not fit'}" for row in layout["widths"]]
    if others:
        yield f"of other cloth to buy: {'; '.join(others)}"
    if "hurried" in layout:
        yield layout["hurried"]


def _laid(piece: Mapping[str, Any]) -> list[str]:
    turned = f"{piece['turned']}°" if piece["turned"] else ""
    places = [piece[name] for name in ("x", "y", "across", "along")]
    return [piece["letter"], _words(piece["piece"]), *places, turned, ", ".join(_notes(piece))]


def _notes(piece: Mapping[str, Any]) -> Iterator[str]:
    if piece["kind"] != "piece":
        yield piece["kind"]
    if piece["mirrored"]:
        yield "mirrored"
    if "on_fold" in piece:
        yield "on the fold"
    if "pair" in piece:
        yield "two at a time"
    if "nested" in piece:
        yield f"head to tail, pair {piece['nested']}"
    if "sheet" in piece:
        yield f"sheet {piece['sheet'] + 1}"
    if "bias" in piece:
        yield f"cut into {piece['bias']['strips']} strips on the bias"


def _words(name: str) -> str:
    return name.replace("_", " ")
