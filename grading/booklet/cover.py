"""The cover: the pattern's name, what it is, its size and edition, and whether it has been sewn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from grading.booklet.before import NOT_SEWN, PROOF, STATES
from grading.booklet.edition import UNITS, Edition
from grading.booklet.pages import FOOT, LEFT, RIGHT, Booklet
from grading.booklet.papers import Papers, SizePapers
from grading.booklet.typography import FAINT, HAIR, INK, PALE, RULE, SMALL, paragraph, points, sentence, words
from grading.drawing.box import around
from grading.drawing.cut_path import millimetres
from grading.drawing.fonts import PLAIN, breadth
from grading.drawing.pdf import draw_scene
from grading.drawing.scene import Line, Mark, Polyline, Scene, Words
from grading.drawing.styles import size_style
from grading.pictures.stitching_path import stitching_points

Json = Mapping[str, Any]
SEWING_PATTERN = "Sewing pattern"
LONGEST_TITLE = 100
"""Characters of a name that the cover shows."""
DRAWING = (112.0, 96.0)
"""Room for the drawing on the cover in mm."""
CAPTION, ARROW, APART = 2.6, 1.8, 4.0
LABEL = 0.45
"""How high on the smallest size the piece is named, as a part of its height."""


def draw_cover(canvas: Any, document: Booklet, papers: Papers, edition: Edition) -> None:
    """The whole cover, at fixed places; canvas and document are those of the page."""
    left, wide = points(LEFT), points(document.across - LEFT - RIGHT)
    top = points(document.along)
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.4)
    canvas.line(left, top - points(24), left + wide, top - points(24))
    canvas.setFont(PLAIN, 9)
    canvas.drawString(left, top - points(20.5), SEWING_PATTERN)
    canvas.drawRightString(left + wide, top - points(20.5), edition.title)
    y = _stacked(canvas, left, wide, top - points(34), _titles(papers))
    _drawing(canvas, document, papers, edition, y)
    _foot(canvas, document, papers, edition)
    canvas.restoreState()


def sizes_text(papers: Papers) -> str:
    """Which sizes a booklet is for."""
    names = [name_of(size) for size in papers.sizes]
    if len(names) == 1:
        return f"Size {names[0]}" if papers.sizes[0].name is not None else sentence(names[0])
    return f"Sizes {', '.join(names[:-1])} and {names[-1]}"


def name_of(size: SizePapers) -> str:
    """A size as a reader knows it."""
    return "a size of its own" if size.name is None else words(size.name)


def _titles(papers: Papers) -> list[Any]:
    says, name = papers.pattern.get("says", ""), papers.pattern["name"]
    title = name if len(name) <= LONGEST_TITLE else f"{name[:LONGEST_TITLE]}…"
    parts = [paragraph(title, "title"), paragraph(sizes_text(papers), "subtitle")]
    return [*parts, paragraph(says, "text")] if says else parts


def _stacked(canvas: Any, left: float, wide: float, y: float, parts: Sequence[Any]) -> float:
    for part in parts:
        _, height = part.wrap(wide, y)
        y -= height + 6
        part.drawOn(canvas, left, y)
    return y


def _foot(canvas: Any, document: Booklet, papers: Papers, edition: Edition) -> None:
    left, wide = points(LEFT), points(document.across - LEFT - RIGHT)
    state = papers.sizes[0].grade["state"]
    frame = paragraph(sentence(state), "section")
    told = paragraph(f"{STATES.get(state, NOT_SEWN)} {PROOF}", "text")
    inner = wide - points(10)
    heights = [part.wrap(inner, points(60))[1] for part in (frame, told)]
    low, height = points(FOOT + 22), sum(heights) + points(9)
    canvas.setLineWidth(RULE)
    canvas.rect(left, low, wide, height)
    y = low + height - points(3)
    for part, each in zip((frame, told), heights, strict=True):
        y -= each
        part.drawOn(canvas, left + points(5), y)
    canvas.setFillColor(PALE)
    canvas.setFont(PLAIN, SMALL + 0.6)
    units = f"All measures in {UNITS[edition.system]}; do not mix them with those of the {edition.other} edition."
    canvas.drawString(left, points(FOOT + 14), units)
    facts = [_time(papers), _boxes(papers, edition)]
    for number, text in enumerate(each for each in facts if each):
        canvas.drawString(left, points(FOOT + 9 - 4.6 * number), text)
    canvas.setStrokeColor(FAINT)
    canvas.setLineWidth(HAIR)


def _time(papers: Papers) -> str:
    time = papers.edition.get("time")
    return f"Time: {time}." if time else ""


def _boxes(papers: Papers, edition: Edition) -> str:
    """The room inside of each size, as drawn."""
    told = []
    for size in papers.sizes:
        if "volume" in size.grade:
            told.append(f"{name_of(size)} {size.grade['volume']}" if len(papers.sizes) > 1 else size.grade["volume"])
    return f"Room inside, as drawn: {', '.join(told)}." if told else ""


def _drawing(canvas: Any, document: Booklet, papers: Papers, edition: Edition, below: float) -> None:
    """The largest piece in all sizes of the booklet, one in the other, with the measures of the largest size."""
    drawn = cover_scene(papers, edition)
    if drawn is None:
        return
    found = around(corner for mark in drawn.marks if isinstance(mark, Polyline) for corner in mark.points)
    room_low, room_top = FOOT + 62, below / points(1) - 8
    if room_top - room_low < found.height + 12:
        return
    x = LEFT + (document.across - LEFT - RIGHT - found.width) / 2
    draw_scene(canvas, drawn, (x, (room_low + room_top - found.height) / 2))


def cover_scene(papers: Papers, edition: Edition) -> Scene | None:
    """Stitching lines of the largest piece, standing on one line, in millimetres of paper; None where there is none."""
    name = _largest(papers)
    shown = [size for size in papers.sizes if name in size.grade["pieces"]]
    if name is None or not shown:
        return None
    outlines = [stitching_points(size.grade["pieces"][name]) for size in shown]
    boxes = [around(points_of) for points_of in outlines]
    wide, high = max(box.width for box in boxes), max(box.height for box in boxes)
    scale = min(DRAWING[0] / wide, DRAWING[1] / high, 0.5)
    marks: list[Mark] = []
    for number, (outline, box) in enumerate(zip(outlines, boxes, strict=True)):
        shift = (wide - box.width) / 2 - box.left
        placed = tuple(((x + shift) * scale, (y - box.low) * scale) for x, y in outline)
        marks.append(Polyline(placed, size_style(number) if len(shown) > 1 else "wide", "cut", closed=True))
    if len(shown) > 1:
        marks += _names(
            [(box.height * scale, name_of(size)) for box, size in zip(boxes, shown, strict=True)], wide * scale
        )
    largest = shown[max(range(len(shown)), key=lambda number: boxes[number].width * boxes[number].height)]
    piece = largest.grade["pieces"][name]
    marks += _measures(edition.length(piece["width"]), edition.length(piece["height"]), wide * scale, high * scale)
    title, height = f"{piece['letter']}  {words(name)}", min(box.height for box in boxes) * scale
    marks.append(Words(title, (wide * scale / 2, height * LABEL), 3.4, "middle"))
    return Scene(tuple(marks))


def _names(tops: Sequence[tuple[float, str]], wide: float) -> Iterator[Mark]:
    """The names of sizes below their upper edges; those that would touch another are left out."""
    last = float("inf")
    for height, name in sorted(tops, reverse=True):
        if last - height >= APART and breadth(name, CAPTION) < wide:
            yield Words(name, (wide / 2, height - APART), CAPTION, "middle")
            last = height


def _largest(papers: Papers) -> str | None:
    """The piece with the largest finished box that is no strip, of the first material that the cut lists begin with."""
    grade = papers.sizes[0].grade
    rows = [row for row in grade["cut_list"] if row["piece"] in grade["pieces"]]
    first = [row for row in rows if row["material"] == "main"] or rows
    if not first:
        return None

    def area(row: Json) -> float:
        return millimetres(row["finished"]["across"]) * millimetres(row["finished"]["along"])

    return str(max(first, key=area)["piece"])


def _measures(across: str, along: str, wide: float, high: float) -> Iterator[Mark]:
    """Dimension lines below and at the right, in the manner of ISO 129-1."""
    y, x = -7.0, wide + 7.0
    for edge in (0.0, wide):
        yield Line((edge, -1.5), (edge, y - 1.5), "thin")
    yield Line((0.0, y), (wide, y), "thin")
    for tip, back in ((0.0, ARROW), (wide, -ARROW)):
        yield Polyline(((tip, y), (tip + back, y + 0.4), (tip + back, y - 0.4)), closed=True, filled=True)
    yield Words(across, (wide / 2, y + 1.0), CAPTION, "middle")
    for edge in (0.0, high):
        yield Line((wide + 1.5, edge), (x + 1.5, edge), "thin")
    yield Line((x, 0.0), (x, high), "thin")
    for tip, back in ((0.0, ARROW), (high, -ARROW)):
        yield Polyline(((x, tip), (x + 0.4, tip + back), (x - 0.4, tip + back)), closed=True, filled=True)
    yield Words(along, (x - 1.0, high / 2), CAPTION, "middle", turned=90)
