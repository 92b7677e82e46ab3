"""`sizewright map`: what the seams and rules of a pattern decide, for all sizes at once."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import Alignment, printable, table, terminal_width
from grading.exact import print_number

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

ONE = "1"
SIDES: tuple[Alignment, ...] = ("left", "left")
DIGITS = 9
"""Characters of a number that is shown as it is; longer ones, such as those with pi, are shown rounded."""


def run(options: Namespace) -> int:
    """Prints the map as a table of sums, or as JSON with exact numbers."""
    document = grading.read_document(read_file(options.pattern))
    choices = dict(options.option or ())
    request: dict[str, Any] = {"scale": 1}
    if choices:
        request["options"] = choices
    if options.ruler is not None:
        request["ruler"] = options.ruler
    prepared = grading.prepare(document, grading.variant_of(document, request=request))
    found = grading.solution_map(document, prepared, choices)
    print(to_json(found) if options.json else report(found, terminal_width()))
    return 0


def report(found: Mapping[str, Any], width: int | None) -> str:
    """The dimensions that are free, and the sum that each of the others is, on a table at most `width` wide."""
    head = f"{printable(found['pattern'])}, in every size, on a ruler of {found['ruler']}"
    rows = [[_words(name), _sum(row)] for name, row in found["map"].items()]
    parts = [head, f"Free: {', '.join(_words(name) for name in found['free'])}"]
    if rows:
        parts.append(table(("dimension", "is (in mm)"), SIDES, rows, width))
    if found["curved"]:
        parts.append(f"Not in the map, since roots stay: {', '.join(map(printable, found['curved']))}")
    return "\n\n".join(parts)


def _sum(row: Mapping[str, str]) -> str:
    terms = [(value, "" if name == ONE else _words(name)) for name, value in row.items() if name != ONE]
    if ONE in row or not terms:
        terms.append((row.get(ONE, "0"), ""))
    text = ""
    for value, name in terms:
        number = Fraction(value)
        sign = " - " if number < 0 else " + "
        size = _number(abs(number))
        term = size if not name else name if size == "1" else f"{size} × {name}"
        text += (sign if text else sign.strip().replace("+", "")) + term
    return text


def _number(value: Fraction) -> str:
    text = print_number(value)
    return text if len(text) <= DIGITS else f"{float(value):.6g}"


def _words(name: str) -> str:
    return printable(name.replace("_", " "))
