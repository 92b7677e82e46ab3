"""Printed claims: the grade compared leaf by leaf with what follows from the pattern and the dimensions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from grading.verify.cutting.cut_list import Row, area_of
from grading.verify.exact.lengths import PRINTED_DIGITS, length_or_none
from grading.verify.printing.expected import Expected
from grading.verify.printing.leaves import About, Filled, Near, OneOf, Same, Words
from grading.verify.verdict import Claim

LONGEST_SHOWN = 120
_LEAVES = (About, Near, OneOf, Filled, Same, Words)


def shown(value: object) -> str:
    """Return a short text for anything that a grade may hold, without characters that a screen would obey."""
    if isinstance(value, str):
        text = value if value.isprintable() else ascii(value)[1:-1]
    elif value is None:
        text = "nothing"
    elif isinstance(value, bool):
        text = "true" if value else "false"
    elif isinstance(value, (int, float)):
        text = _number(value)
    elif isinstance(value, dict):
        text = f"an object of {len(value)} fields"
    elif isinstance(value, (list, tuple)):
        text = f"a list of {len(value)}"
    else:
        text = "something else"
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"


def _number(value: float) -> str:
    if isinstance(value, int) and value.bit_length() > 400:
        return "a number of very many digits"
    return str(value)


def printed_claim(path: str, given: object, right: str, holds: bool) -> Claim:
    """Return a claim about one leaf."""
    left = shown(given)
    says = f"{path} is {right}" if holds else f"{path} says {left}; {right} follows from the dimensions"
    return Claim("printed", f"printed:{path}", left, right, holds, says)


def compared(expected: Any, given: Any, path: str, claims: list[Claim]) -> None:
    """Add a claim for each leaf of the expected part; what is missing or too much is a claim that fails."""
    if isinstance(expected, str):
        holds = given == expected
        shown_text = expected if expected.isprintable() else ascii(expected)[1:-1]
        claims.append(printed_claim(path, given, shown_text, holds))
    elif isinstance(expected, dict):
        _compared_objects(expected, given, path, claims)
    elif isinstance(expected, list):
        if not isinstance(given, (list, tuple)):
            claims.append(printed_claim(path, given, shown(expected), False))
            return
        if len(given) != len(expected):
            claims.append(printed_claim(path, given, shown(expected), False))
        for index, (item, other) in enumerate(zip(expected, given, strict=False)):
            compared(item, other, f"{path}.{index}", claims)
    elif isinstance(expected, _LEAVES):
        claims.append(printed_claim(path, given, expected.text, expected.accepts(given)))
    else:
        holds = given == expected and isinstance(given, bool) == isinstance(expected, bool)
        claims.append(printed_claim(path, given, shown(expected), holds and not isinstance(given, float)))


_MISSING = object()


def _compared_objects(expected: Mapping[str, Any], given: Any, path: str, claims: list[Claim]) -> None:
    if not isinstance(given, dict):
        claims.append(printed_claim(path, given, shown(expected), False))
        return
    for key, item in expected.items():
        where = f"{path}.{key}" if path else key
        found = given.get(key, _MISSING)
        if found is _MISSING:
            claims.append(
                Claim("printed", f"printed:{where}", "missing", shown_leaf(item), False, f"{where} is missing")
            )
        else:
            compared(item, found, where, claims)
    for key in given:
        if key not in expected:
            where = f"{path}.{shown(key)}" if path else shown(key)
            says = f"{where} follows from nothing in the pattern"
            claims.append(Claim("printed", f"printed:{where}", shown(given[key]), "nothing", False, says))


def shown_leaf(item: Any) -> str:
    """Return a short text for an expected part."""
    return item.text if isinstance(item, _LEAVES) else shown(item)


def altered_claims(expected: Expected, given: Any) -> Iterator[Claim]:
    """Yield a claim for each constant that the ruler changed; the order is free, each is listed once."""
    ruler = expected.pattern.ruler
    changes = {
        (path, ruler.printed(before), ruler.printed(after))
        for path, before, after in expected.pattern.expressions.altered
    }
    listed = given if isinstance(given, (list, tuple)) else []
    if listed is not given:
        yield printed_claim("altered", given, f"a list of {len(changes)}", False)
    seen: set[tuple[str, str, str]] = set()
    for index, entry in enumerate(listed):
        fields = entry if isinstance(entry, dict) and set(entry) == {"path", "from", "to"} else {}
        key = _text(fields, "path"), _text(fields, "from"), _text(fields, "to")
        holds = key in changes and key not in seen
        seen.add(key)
        text = f"{shown(fields.get('path'))}: {shown(fields.get('from'))} to {shown(fields.get('to'))}"
        says = f"altered.{index} ({text}) is {'' if holds else 'no '}change that the ruler makes"
        yield Claim("printed", f"printed:altered.{index}", text, "a change that the ruler makes", holds, says)
    for path, before, after in sorted(changes - seen):
        says = f"altered does not say that {path} goes from {before} to {after} on this ruler"
        yield Claim("printed", f"printed:altered:{path}", "missing", f"{before} to {after}", False, says)


def _text(fields: Mapping[str, Any], key: str) -> str:
    value = fields.get(key)
    return value if isinstance(value, str) else ""


def cut_list_claims(expected: Expected, given: Any) -> Iterator[Claim]:
    """Yield the claims about the cut list: its rows, found by letter and layer, and their order."""
    rows = {(row.letter, row.layer): row for row in expected.rows()}
    listed = given if isinstance(given, (list, tuple)) else []
    if listed is not given or len(listed) != len(rows):
        yield printed_claim("cut_list", given, f"a list of {len(rows)}", False)
    claims: list[Claim] = []
    order: list[Row] = []
    for index, entry in enumerate(listed):
        fields = entry if isinstance(entry, dict) else {}
        letter, layer = fields.get("letter"), fields.get("layer")
        key = (letter, layer) if isinstance(letter, str) and isinstance(layer, str) else ("", "")
        row = rows.pop(key, None)
        if row is None:
            says = f"cut_list.{index} is no row of this pattern, or stands there twice"
            claims.append(Claim("printed", f"printed:cut_list.{index}", shown(entry), "nothing", False, says))
        else:
            order.append(row)
            compared(expected.row(row), entry, f"cut_list.{index}", claims)
    yield from claims
    for letter, layer in rows:
        says = f"cut_list has no row for {letter} in {layer}"
        yield Claim("printed", f"printed:cut_list:{letter}:{layer}", "missing", "a row", False, says)
    yield _order_claim(expected, order)


def _order_claim(expected: Expected, rows: list[Row]) -> Claim:
    materials = list(expected.pattern.head.materials)
    keys = [(materials.index(row.material), -area_of(row), len(row.letter), row.letter) for row in rows]
    wrong = next((i for i, (a, b) in enumerate(pairwise(keys), 1) if a > b), None)
    says = "cut_list is in order: by cloth, the largest first"
    if wrong is not None:
        says = f"cut_list.{wrong} should stand before the row above it: by cloth, the largest first"
    return Claim("printed", "printed:cut_list:order", "as listed", "by cloth, the largest first", wrong is None, says)


def nearest_print_claim(title: str, given: object, nearest: Any, expected: Expected) -> Claim:
    """Return the claim that a nearest value is printed as the certificate says it, exactly or as a decimal."""
    path, ruler = f"dimensions.{title}.nearest", expected.pattern.ruler
    if nearest is None:
        return printed_claim(path, given, "what the certificate says", False)
    exact = isinstance(given, str) and length_or_none(given, PRINTED_DIGITS) == nearest
    leaf = About((nearest, nearest), ruler)
    return printed_claim(path, given, leaf.text, exact or leaf.accepts(given))
