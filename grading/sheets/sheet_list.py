"""The list of pieces that goes with the templates: on which pages each is, and what is given as measures instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from grading.sheets.choosing import Chosen
from grading.sheets.facts import count_words, words
from grading.sheets.flow import Paragraph
from grading.sheets.template import Template
from grading.sheets.tile_scene import Foot
from grading.sheets.tiles import Grid

Json = Mapping[str, Any]
INDENT = 14.0
SIDES = {"top": "left", "right": "upper", "bottom": "right", "left": "lower"}
"""The end of an edge of a rectangle from which its places are measured: outlines run clockwise."""
BOX = "☐"


def template_list(grid: Grid, chosen: Sequence[Template], foot: Foot) -> Iterator[Paragraph]:
    """A paragraph for each piece that is printed: its letter, name, pages and facts."""
    pages: dict[str, list[int]] = {}
    for tile in grid.tiles:
        for each in tile.pieces:
            pages.setdefault(each.drawn.piece, []).append(tile.number)
    yield Paragraph("Pieces on these pages", 4.2, bold=True, above=2, keep=True)
    for template in chosen:
        numbers = ", ".join(foot.shown(number) for number in pages.get(template.piece, ()))
        where = f"page {numbers}" if len(pages.get(template.piece, ())) == 1 else f"pages {numbers}"
        yield _entry(f"{template.name}: {where}", template.letter)
        yield Paragraph(f"{'; '.join(template.facts)}.", 2.8, indent=INDENT)


def measures_list(grades: Sequence[Json], chosen: Chosen, only: Sequence[str] = ()) -> Iterator[Paragraph]:
    """What is cut by its measures: pieces and, unless `only` some pieces were asked for, strips; of several sizes each
    below the other. Notches and lines stand at the first row of each piece.
    """
    every = {_key(row): row for grade in grades for row in grade["cut_list"]}
    rows = [row for row in every.values() if row["piece"] in chosen.measured or not (row["uses"] or only)]
    if not rows:
        return
    yield Paragraph("Cut by these measures, across × along the grain", 4.2, bold=True, above=4, keep=True)
    marked: set[str] = set()
    for row in rows:
        name = f"{words(row['piece'])}, {words(row['material'])}"
        yield _entry(f"{BOX} {name}: cut {count_words(row)}", row["letter"])
        for grade in grades:
            same = next((each for each in grade["cut_list"] if _key(each) == _key(row)), None)
            if same is not None:
                size = f"{grade['size']['name'] or 'own size'}: " if len(grades) > 1 else ""
                rounded = "; round the corners by their template" if row["piece"] in chosen.rounded else ""
                yield Paragraph(f"{size}{_measures(same)}{rounded}", 2.8, indent=INDENT)
                if row["uses"] and row["piece"] not in marked:
                    yield from _marks(grade["pieces"][row["piece"]])
        marked.add(row["piece"])


def _entry(text: str, letter: str) -> Paragraph:
    return Paragraph(text, bold=True, indent=INDENT, above=2.4, ruled=True, hanging=letter, keep=True)


def _key(row: Json) -> tuple[str, str]:
    return row["piece"], row["layer"]


def _measures(row: Json) -> str:
    told = [f"{row['across']} × {row['along']}"]
    if row["trim"] is not None:
        told.append(f"cut rough, then trim to {row['trim']['across']} × {row['trim']['along']}")
    if row["on_fold"] is not None:
        told.append(f"on the fold {row['on_fold']['across']} × {row['on_fold']['along']}")
    if row["strips"] is not None:
        strips = row["strips"]
        told.append(f"join {strips['count']} strips, {strips['total']} in all")
    if row["grain"] == "bias":
        told.append("on the bias")
    told.append("allowance included" if row["allowance"] == "included" else "nothing to add")
    return "; ".join(told)


def _marks(piece: Json) -> Iterator[Paragraph]:
    """Notches and lines of a rectangle in words, measured along the stitching line."""
    notches = [
        f"{words(name)}: {words(notch['edge'])}, {notch['at']} from its {SIDES.get(notch['edge'], 'first')} end"
        for name, notch in piece["notches"].items()
    ]
    lines = [
        f"{words(name)}: from {_place(line['from'])} to {_place(line['to'])}" for name, line in piece["lines"].items()
    ]
    if notches:
        yield Paragraph(f"Notches, along the stitching line: {'; '.join(notches)}.", 2.8, indent=INDENT)
    if lines:
        yield Paragraph(
            f"Lines, from the upper left corner of the stitching line: {'; '.join(lines)}.", 2.8, indent=INDENT
        )


def _place(at: Sequence[str]) -> str:
    down = at[1].removeprefix("-")
    return f"{at[0]} across, {down} down"
