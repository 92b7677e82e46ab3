"""A piece list as a start: rows of a spreadsheet become the dimensions, materials and pieces of a draft.

Each row is a rectangle with two dimensions of its own, which the designer then ties to each other. The first row that
names a piece and a width is the head; its words may stand in any order, with a unit as in `width (cm)`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from grading.errors import Fault
from grading.exact import NotALength, read_length

HEADS: dict[str, tuple[str, ...]] = {
    "piece": ("piece", "name", "part", "pattern piece"),
    "width": ("width", "across", "w", "cut width", "wide"),
    "height": ("height", "length", "along", "h", "l", "cut length", "high"),
    "count": ("count", "quantity", "qty", "cut", "pieces", "number", "how many"),
    "material": ("material", "cloth", "fabric", "from"),
    "allowance": ("allowance", "seam allowance"),
    "grain": ("grain",),
    "says": ("remark", "remarks", "note", "notes", "says"),
}
"""What a column may be called; common words of the trade, no source."""
UNITS = ("mm", "cm", "m", "in", "ft", "yd")
HEAD = re.compile(r"(?P<word>[a-z ]+?)\s*(?:[(\[]?\s*(?P<unit>mm|cm|in|inch|inches)\s*[)\]]?)?")
COUNT = re.compile(r"(?P<count>[0-9]{1,2})\s*(?:x|×)?\s*(?:\+\s*(?P<mirrored>[0-9]{1,2})\s*(?:mirrored|reversed)?)?")
DECIMAL_COMMA = re.compile(r"([0-9]+),([0-9]+)")
GRAINS = ("along", "across", "bias")
MOST_ROWS = 500
MOST_USES = 50
CLOTH = "main"


class UnreadableList(Exception):
    """A piece list with faults; `faults` has one for each cell that cannot be used, by row and column."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.path}: {fault.problem}" for fault in faults))


def draft_of_list(rows: Sequence[Sequence[str]], name: str, unit: str = "mm") -> dict[str, Any]:
    """A pattern document, still without seams, of the texts of a spreadsheet; bare numbers are in `unit`.

    Raises UnreadableList with every cell that cannot be used.
    """
    at, head = _head(rows)
    faults: list[Fault] = []
    document: dict[str, Any] = {
        "format": 1,
        "name": name,
        "unit": unit,
        "ruler": "1/8 in" if unit == "in" else "1 mm",
        "allowance": "3/8 in" if unit == "in" else "10 mm",
        "dimensions": {},
        "materials": {},
        "pieces": {},
        "seams": {},
        "steps": [],
    }
    listed = [(number, row) for number, row in enumerate(rows[at + 1 :], at + 2) if any(cell.strip() for cell in row)]
    if len(listed) > MOST_ROWS:
        raise UnreadableList([Fault("rows", f"there are {len(listed)} pieces", f"send at most {MOST_ROWS}")])
    for number, row in listed:
        cells = {key: row[place].strip() if place < len(row) else "" for key, (place, _) in head.items()}
        units = {key: of or unit for key, (_, of) in head.items()}
        faults += _add(document, number, cells, units)
    if not document["pieces"] and not faults:
        faults.append(Fault("rows", "there is no piece below the head", "write one piece a row"))
    if faults:
        raise UnreadableList(faults)
    return document


def _head(rows: Sequence[Sequence[str]]) -> tuple[int, dict[str, tuple[int, str]]]:
    """The row of the head, and the column and unit of each key."""
    for at, row in enumerate(rows[:30]):
        found: dict[str, tuple[int, str]] = {}
        for place, cell in enumerate(row):
            match = HEAD.fullmatch(cell.strip().lower())
            key = None if match is None else next((key for key, words in HEADS.items() if match["word"] in words), None)
            if match is not None and key is not None and key not in found:
                found[key] = (place, (match["unit"] or "").replace("inches", "in").replace("inch", "in"))
        if {"piece", "width", "height"} <= found.keys():
            return at, found
    raise UnreadableList(
        [Fault("rows", "no row names the columns", "let the first row read: piece, width, height, count, cloth")]
    )


def _add(document: dict[str, Any], number: int, cells: dict[str, str], units: dict[str, str]) -> Iterator[Fault]:
    """Puts one row into the document; gives its faults."""
    name = _name(cells["piece"])
    if not name:
        yield Fault(f"rows.{number}.piece", "it has no name", "write the piece's name")
        return
    while name in document["pieces"]:
        name = _following(name)
    count, mirrored = _count(cells.get("count", ""))
    if count is None:
        yield Fault(f"rows.{number}.count", f"{cells['count']!r} is no count", "write it as in 2 or 1 + 1 mirrored")
    sides: dict[str, Any] = {}
    for key in ("width", "height"):
        sides[key] = _length(cells[key], units[key], document["unit"])
        if sides[key] is None:
            yield Fault(f"rows.{number}.{key}", f"{cells[key]!r} is no length", "write it as in 250, 25 cm or 9 7/8 in")
    allowance = _length(cells["allowance"], units["allowance"], document["unit"]) if cells.get("allowance") else ""
    if allowance is None:
        yield Fault(f"rows.{number}.allowance", f"{cells['allowance']!r} is no length", "write it as in 10 mm")
    material = _name(cells.get("material", "")) or CLOTH
    document["materials"].setdefault(material, {"says": cells.get("material") or "cloth"})
    for key, base in sides.items():
        document["dimensions"][f"{name}_{key}"] = {"base": base, "says": f"{key} of {name.replace('_', ' ')}"}
    grain = cells.get("grain", "").lower()
    document["pieces"][name] = {
        **({"says": cells["says"]} if cells.get("says") else {}),
        **_uses(name, count or 1, mirrored),
        "outline": {"rectangle": [f"{name}_width", f"{name}_height"]},
        **(
            {"edges": {edge: {"allowance": allowance} for edge in ("top", "right", "bottom", "left")}}
            if allowance
            else {}
        ),
        **({"grain": grain} if grain in GRAINS else {}),
        "layers": [{"material": material}],
    }


def _uses(name: str, count: int, mirrored: int) -> dict[str, Any]:
    if count + mirrored == 1:
        return {}
    plain = [f"{name}_{number}" for number in range(1, count + 1)]
    turned = [{"name": f"{name}_{number}", "mirrored": True} for number in range(count + 1, count + mirrored + 1)]
    return {"uses": [*plain, *turned]}


def _count(text: str) -> tuple[int | None, int]:
    if not text:
        return 1, 0
    found = COUNT.fullmatch(text.lower())
    count, mirrored = (int(found["count"]), int(found["mirrored"] or 0)) if found else (0, 0)
    return (count, mirrored) if count >= 1 and count + mirrored <= MOST_USES else (None, 0)


def _length(text: str, unit: str, own: str) -> Any:
    """A length as the document has it: bare in its own unit, else with its unit; None where it is none."""
    plain = DECIMAL_COMMA.sub(r"\1.\2", text).replace("″", " in").replace('"', " in").strip()
    if re.fullmatch(r"[0-9]+(\.[0-9]+)?", plain):
        if unit == own:
            return (float(plain) if "." in plain else int(plain)) if float(plain) > 0 else None
        plain = f"{plain} {unit}"
    elif re.fullmatch(r"([0-9]+ )?[0-9]+/[0-9]+", plain):
        plain = f"{plain} {unit}"
    try:
        return plain if read_length(plain) > 0 else None
    except NotALength:
        return None


def _name(text: str) -> str:
    """A name of the document: small letters, digits and _, beginning with a letter; at most 40 letters."""
    name = re.sub(r"[^a-z0-9]+", "_", text.lower()).strip("_")[:40].strip("_")
    if name and not name[0].isalpha():
        name = f"p_{name}"
    return f"{name}_piece" if name in ("pi", "sqrt", "bag") else name


def _following(name: str) -> str:
    stem, _, number = name.rpartition("_")
    return f"{stem}_{int(number) + 1}" if stem and number.isdecimal() else f"{name}_2"
