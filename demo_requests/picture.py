"""A picture of a pattern's pieces in all sizes, nested: stitching lines to scale, a line style for each size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from html import escape
from math import dist
from typing import Any

Grade = Mapping[str, Any]
Place = tuple[float, float]

MILLIMETRES_IN = {"mm": Fraction(1), "in": Fraction(254, 10)}
LINE_STYLES = ("", "14 7", "3 5")
"""Dash patterns: told apart in grey too."""
SHEET_WIDTH = 1500.0
GAP = 60.0
TEXT_SIZE = 26
TOUCHING = 1e-3
"""Square millimetres within which a place lies on a chord."""


def draw_sizes(title: str, grades: Mapping[str, Grade]) -> str:
    """An SVG picture of every piece, each size with its own line style; millimetres of the bag are its units."""
    names = sorted(next(iter(grades.values()))["pieces"], key=lambda name: -_extent(grades, name)[1])
    groups, height = _arranged(grades, names)
    key = _key(list(grades))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SHEET_WIDTH:.0f} {height + 110:.0f}" '
        f'font-family="Helvetica, Arial, sans-serif" font-size="{TEXT_SIZE}">'
        f"<title>{escape(title)}: pieces in {escape(', '.join(grades))}</title>"
        f'<rect width="100%" height="100%" fill="#fff"/>'
        f'<text x="{GAP}" y="50" font-size="34">{escape(title)}</text>{key}'
        f'<g transform="translate(0 90)" fill="none" stroke="#222" stroke-width="2.2">{"".join(groups)}</g></svg>\n'
    )


def _key(sizes: Sequence[str]) -> str:
    parts = []
    for number, size in enumerate(reversed(sizes)):
        x = SHEET_WIDTH - 200 * (number + 1)
        style = LINE_STYLES[(len(sizes) - 1 - number) % len(LINE_STYLES)]
        parts.append(
            f'<line x1="{x}" y1="42" x2="{x + 80}" y2="42" stroke="#222" stroke-width="2.2" '
            f'stroke-dasharray="{style}"/><text x="{x + 90}" y="50">{escape(size)}</text>'
        )
    return "".join(parts)


def _arranged(grades: Mapping[str, Grade], names: Sequence[str]) -> tuple[list[str], float]:
    groups, x, y, row = [], GAP, 0.0, 0.0
    for name in names:
        width, height = _extent(grades, name)
        space = max(width, TEXT_SIZE * 0.6 * (len(name) + 4))
        if x + space > SHEET_WIDTH - GAP and x > GAP:
            x, y, row = GAP, y + row + GAP, 0.0
        groups.append(_group(grades, name, x, y))
        x, row = x + space + GAP, max(row, height + TEXT_SIZE + 12)
    return groups, y + row


def _group(grades: Mapping[str, Grade], name: str, x: float, y: float) -> str:
    paths = []
    letter = next(iter(grades.values()))["pieces"][name]["letter"]
    for number, grade in enumerate(grades.values()):
        style = LINE_STYLES[number % len(LINE_STYLES)]
        paths.append(f'<path d="{_path(grade["pieces"][name])}" stroke-dasharray="{style}"/>')
    label = escape(f"{letter}  {name.replace('_', ' ')}")
    return (
        f'<g transform="translate({x:.1f} {y:.1f})"><text y="{TEXT_SIZE}" fill="#222" stroke="none">{label}</text>'
        f'<g transform="translate(0 {TEXT_SIZE + 12})">{"".join(paths)}</g></g>'
    )


def _extent(grades: Mapping[str, Grade], name: str) -> Place:
    pieces = [grade["pieces"][name] for grade in grades.values()]
    return max(_number(piece["width"]) for piece in pieces), max(_number(piece["height"]) for piece in pieces)


def _path(piece: Mapping[str, Any]) -> str:
    """The outline as an SVG path, its box's top left corner at (0, 0), y downwards."""
    at = _place(piece["start"])
    drawn: list[tuple[Place, Mapping[str, Any]]] = []
    reached = [at]
    for edge in piece["edges"].values():
        for segment in edge["segments"]:
            drawn.append((at, segment))
            reached += [_place(segment["to"]), *_outermost(at, segment)]
            at = _place(segment["to"])
    left, top = min(x for x, _ in reached), max(y for _, y in reached)

    def shown(place: Place) -> str:
        return f"{place[0] - left:.2f} {top - place[1]:.2f}"

    parts = [f"M{shown(drawn[0][0])}"]
    for start, segment in drawn:
        end = _place(segment["to"])
        if "by" in segment:
            first, second = (shown(_place(point)) for point in segment["by"])
            parts.append(f"C{first} {second} {shown(end)}")
        elif "centre" in segment:
            across, along = _radii(start, segment)
            large = 1 if _is_large(start, segment) else 0
            parts.append(f"A{across:.2f} {along:.2f} 0 {large} {1 if segment['turns'] == 'right' else 0} {shown(end)}")
        else:
            parts.append(f"L{shown(end)}")
    return " ".join([*parts, "Z"])


def _radii(start: Place, segment: Mapping[str, Any]) -> Place:
    """The half axes of an ellipse, or the radius of an arc twice."""
    if "axes" in segment:
        return _place(segment["axes"])
    radius = dist(start, _place(segment["centre"]))
    return radius, radius


def _is_large(start: Place, segment: Mapping[str, Any]) -> bool:
    """Whether an arc turns by more than half a circle: its centre lies on the side that it bulges to."""
    return _beside(start, _place(segment["to"]), _place(segment["centre"]), segment["turns"]) > TOUCHING


def _outermost(start: Place, segment: Mapping[str, Any]) -> list[Place]:
    """The points of an arc between its ends that may be outermost; all other curves are so at their ends."""
    if "centre" not in segment or "axes" in segment:
        return []
    (x, y), (radius, _) = _place(segment["centre"]), _radii(start, segment)
    places = [(x + radius, y), (x - radius, y), (x, y + radius), (x, y - radius)]
    end = _place(segment["to"])
    return [place for place in places if _beside(start, end, place, segment["turns"]) > TOUCHING]


def _beside(start: Place, end: Place, place: Place, turns: str) -> float:
    """How far, times the chord, a place lies on the side of a chord that its arc bulges to."""
    cross = (end[0] - start[0]) * (place[1] - start[1]) - (end[1] - start[1]) * (place[0] - start[0])
    return cross if turns == "right" else -cross


def _place(texts: Sequence[str]) -> Place:
    return _number(texts[0]), _number(texts[1])


def _number(text: str) -> float:
    """A printed length in millimetres: "252.5 mm", "10 3/8 in"."""
    *numbers, unit = text.split()
    sign = -1 if numbers[0].startswith("-") else 1
    return float(sign * sum(Fraction(number.lstrip("-")) for number in numbers) * MILLIMETRES_IN[unit])
