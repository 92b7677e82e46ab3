"""From the documents of a grade and of its pattern to the templates of its pieces."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import hypot
from typing import Any

from grading.drawing.cut_path import Place, millimetres, place
from grading.drawing.flatten import part_points
from grading.drawing.scene import Path
from grading.sheets.facts import piece_facts
from grading.sheets.halves import ON, half, half_line
from grading.sheets.outline import Edge, cut_line, edges, stitching_lines, whole_outline
from grading.sheets.template import DIRECTIONS, Grain, Inner, Notch, Template

Json = Mapping[str, Any]
NOTCH_LENGTH = 5.0
"""How far a notch's mark reaches inwards at most; common practice, no source."""
BARE_NOTCH = 4.0
"""How far it reaches where there is no allowance."""
NOTCH_FINE = 1e-5
"""How finely in mm edges are walked along, so that a notch stands square to a curve and not to a chord of it."""
OWN_SIZE = "own size"


def size_name(grade: Json) -> str:
    """The size's name; OWN_SIZE where it has none."""
    return str(grade["size"]["name"] or OWN_SIZE)


def templates(grade: Json, pattern: Json | None = None) -> tuple[Template, ...]:
    """The template of every piece of a grade in the order of its letters, on the fold only the half that is cut.

    Without the pattern's document the kinds of inner lines, what is up, and the faces of layers are not known.
    """
    return tuple(template(piece, grade, pattern) for piece in grade["pieces"])


def template(piece: str, grade: Json, pattern: Json | None = None) -> Template:
    """The template of one piece."""
    printed = grade["pieces"][piece]
    drawn = (pattern or {}).get("pieces", {}).get(piece, {})
    rows = [row for row in grade["cut_list"] if row["piece"] == piece and row["uses"]]
    grain: Grain = rows[0]["grain"] if rows else "along"
    every = edges(printed)
    whole = Template(
        letter=printed["letter"],
        piece=piece,
        size=size_name(grade),
        cut=cut_line(printed),
        stitching=stitching_lines(printed),
        notches=tuple(_notches(printed, every)),
        inner=tuple(_inner(printed, drawn)),
        grain=grain,
        up=_up(drawn, every, grain),
        fold=None,
        facts=piece_facts(piece, grade, pattern),
        shared=piece_facts(piece, grade, pattern, with_measures=False),
    )
    return _on_fold(whole, whole_outline(printed)) if any(row["on_fold"] for row in rows) else whole


def _notches(printed: Json, every: Mapping[str, Edge]) -> Iterator[Notch]:
    for name, notch in printed["notches"].items():
        allowance = millimetres(printed["edges"][notch["edge"]]["allowance"])
        at, outwards = _along(every[notch["edge"]], millimetres(notch["at"]))
        reach = min(allowance, NOTCH_LENGTH) if allowance else BARE_NOTCH
        outer = (at[0] + outwards[0] * allowance, at[1] + outwards[1] * allowance)
        yield Notch(name, outer, (outer[0] - outwards[0] * reach, outer[1] - outwards[1] * reach))


def _along(edge: Edge, distance: float) -> tuple[Place, Place]:
    """The place at a distance along an edge, and which way is outwards there: to the left, since outlines run right."""
    at, way = edge[0], (1.0, 0.0)
    for part in edge[1]:
        for point in part_points(at, part, NOTCH_FINE):
            step = hypot(point[0] - at[0], point[1] - at[1])
            if step:
                way = ((point[0] - at[0]) / step, (point[1] - at[1]) / step)
                if distance <= step:
                    return (at[0] + way[0] * distance, at[1] + way[1] * distance), (-way[1], way[0])
            distance -= step
            at = point
    return at, (-way[1], way[0])


def _inner(printed: Json, drawn: Json) -> Iterator[Inner]:
    for name, line in printed["lines"].items():
        kind = drawn.get("lines", {}).get(name, {}).get("kind", "placement")
        yield Inner(name, kind, place(line["from"]), place(line["to"]))


def _up(drawn: Json, every: Mapping[str, Edge], grain: Grain) -> Place | None:
    """The way of the grain that leads to the edge that is up as worn; None where that is square to the grain."""
    if drawn.get("up") not in every:
        return None
    start, parts = every[drawn["up"]]
    end = parts[-1].end
    outwards = (-(end[1] - start[1]), end[0] - start[0])
    way = DIRECTIONS[grain]
    along = outwards[0] * way[0] + outwards[1] * way[1]
    if abs(along) < 0.5 * hypot(*outwards):
        return None
    return way if along > 0 else (-way[0], -way[1])


def _on_fold(whole: Template, outline: Path) -> Template:
    """The left half of a piece, or the upper one where the grain runs across."""
    points = [outline.start, *(part.end for part in outline.parts)]
    upright = whole.grain != "across"
    values = [point[0] if upright else -point[1] for point in points]
    middle = (min(values) + max(values)) / 2

    def beyond(at: Place) -> float:
        return (at[0] if upright else -at[1]) - middle

    cut = half(whole.cut, beyond)
    halves = [half(path, beyond) for path in whole.stitching]
    inner = ((each, half_line(each.start, each.end, beyond)) for each in whole.inner)
    return replace(
        whole,
        cut=cut,
        stitching=tuple(_open(path) for path in halves if path.parts),
        notches=tuple(each for each in whole.notches if beyond(each.outer) <= ON),
        inner=tuple(Inner(each.name, each.kind, *ends) for each, ends in inner if ends is not None),
        fold=(cut.parts[-1].end, cut.start),
    )


def _open(path: Path) -> Path:
    return Path(path.start, path.parts, path.style, path.layer)
