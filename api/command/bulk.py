"""`sizewright bulk`: where the layers of a size lie too thick for the machine."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import Alignment, printable, table, terminal_width

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator, Mapping

COLUMNS: tuple[tuple[str, Alignment], ...] = (
    ("seam", "left"),
    ("thick", "right"),
    ("too thick by", "right"),
    ("where", "left"),
    ("layers", "left"),
)


def run(options: Namespace) -> int:
    """Prints all places in order of making, with remedies of those that are too thick; or JSON."""
    document = grading.read_document(read_file(options.pattern))
    given = {"lift": options.lift, "pressed": options.pressed}
    settings = {key: value for key, value in given.items() if value is not None}
    bulk = grading.bulk_document(grading.bulk_of(grading.grade_size(document, size=options.size), settings))
    print(to_json(bulk) if options.json else "\n\n".join(_parts(bulk, terminal_width())))
    return 0


def _parts(bulk: Mapping[str, Any], width: int | None) -> Iterator[str]:
    name = bulk["size"]["name"] or "as asked"
    yield f"{printable(bulk['pattern'])}, {printable(name)}: bulk, for a machine that sews {bulk['lift']}"
    headings, sides = [heading for heading, _ in COLUMNS], [side for _, side in COLUMNS]
    yield table(headings, sides, [_place(place) for place in bulk["places"]], width)
    remedies = [line for place in bulk["places"] if place["over"] for line in _remedies(place)]
    if remedies:
        yield "\n".join(["What makes it thinner:", *remedies])
    yield "\n".join(printable(line) for line in bulk["says"])


def _place(place: Mapping[str, Any]) -> list[str]:
    layers = ", ".join(f"{layer['count']} × {_words(layer['material'])}" for layer in place["layers"])
    return [_words(place["seam"]), place["thickness"], place["over"] or "", place["where"], layers]


def _remedies(place: Mapping[str, Any]) -> Iterator[str]:
    yield f"  {printable(_words(place['seam']))}, {printable(place['where'])}: {place['thickness']}"
    for remedy in place["remedies"]:
        yield f"    {remedy['thickness']}: {printable(remedy['says'])}"
    if not place["remedies"]:
        yield "    nothing here can be spared: turn the wheel by hand, or take a heavier machine"


def _words(name: str) -> str:
    return name.replace("_", " ")
