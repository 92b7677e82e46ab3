"""The side of a bag, seen from the right of its front: which pieces show there and where; floats, for pictures only."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from grading.drawing.cut_path import Place
from grading.pictures.bag_document import SizedBag, Use
from grading.pictures.bag_walls import Area, Part, find_wall, piece_size, wall_parts
from grading.pictures.seam_sides import Entry, seam_side
from grading.pictures.stitching_path import edge_points

SAME = 1.5
"""Millimetres within which two measures of a picture are taken as one."""


@dataclass(frozen=True)
class Side:
    """A side view: how deep and high in mm, and what shows; `wall` is its own piece, where it has one."""

    depth: float
    height: float
    parts: tuple[Part, ...]
    wall: Use | None = None


def bag_side(bag: SizedBag, front: Use | None, height: float) -> Side | None:
    """The side view of a bag whose front is `height` high; None where the document tells nothing of its depth."""
    outside = bag.box("outside")
    found = None if front is None else _side_wall(bag, front)
    if found is not None:
        use, area = found
        depth = area.right
        return Side(depth, height, (*_beyond(bag, use, area, height), *wall_parts(bag, use, area)), use)
    box = outside or bag.box("inside")
    if box is None:
        return None
    depth = float(box[2])
    parts = _wrapped(bag, front, float(box[0]), depth, height) if outside and front else ()
    return Side(depth, height, tuple(parts))


def clipped(points: Sequence[Place], area: Area) -> tuple[Place, ...]:
    """A chain of points round a shape, cut off at an area's sides (Sutherland and Hodgman, CACM 17, 1974)."""
    shape = list(points)
    for axis, bound, sign in ((0, area.left, 1), (0, area.right, -1), (1, area.top, 1), (1, area.bottom, -1)):
        kept: list[Place] = []
        for start, end in zip(shape, shape[1:] + shape[:1], strict=True):
            begins, ends = sign * (start[axis] - bound), sign * (end[axis] - bound)
            if begins >= 0:
                kept.append(start)
            if begins * ends < 0:
                part = begins / (begins - ends)
                kept.append((start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])))
        shape = kept
    return tuple(shape)


def moved(parts: Iterator[Part], area: Area, across: float) -> Iterator[Part]:
    """Parts cut off at an area and moved across; those of which nothing is left are gone."""
    for part in parts:
        points = clipped(part.points, area)
        if len(points) > 1:
            yield Part(part.kind, part.name, tuple((x + across, y) for x, y in points), part.material)


def _side_wall(bag: SizedBag, front: Use) -> tuple[Use, Area] | None:
    """The piece that is sewn to the right edge of the front, and where it lies in the side view."""
    edge, top, bottom = _right_edge(bag, front)
    uses, back = bag.uses(), find_wall(bag, "back")
    laid = {covering["piece"] for covering in bag.parts("coverings").values()}
    best: tuple[float, Use, Area] | None = None
    for mine, other in _seams_along(bag, f"{front.name}.{edge}"):
        scale = mine[-1].end / (other[-1].end or 1.0)
        own = next(entry for entry in mine if (entry.use, entry.name) == (front.name, edge))
        for entry in other:
            low, high = max(own.start, entry.start * scale), min(own.end, entry.end * scale)
            use = uses.get(entry.use)
            if use is None or use in (front, back) or use.name in laid or high - low < SAME or not _is_upright(entry):
                continue
            down = (low - own.start, high - own.start) if own.forward else (own.end - high, own.end - low)
            area = Area(0.0, top + down[0], piece_size(bag, use)[0], min(top + down[1], bottom))
            if best is None or high - low > best[0]:
                best = (high - low, use, area)
    return None if best is None else best[1:]


def _right_edge(bag: SizedBag, front: Use) -> tuple[str, float, float]:
    """The front's longest edge at its right, and from where to where it runs below the front's top, in mm."""
    edges = edge_points(bag.grade["pieces"][front.piece])
    highest = max(y for points in edges.values() for _, y in points)
    most = max(x for points in edges.values() for x, _ in points)
    upright = {n: p for n, p in edges.items() if abs(p[0][0] - most) < SAME and abs(p[-1][0] - most) < SAME}
    if not upright:
        return "", 0.0, 0.0
    name = max(upright, key=lambda each: abs(upright[each][0][1] - upright[each][-1][1]))
    ends = upright[name][0][1], upright[name][-1][1]
    return name, highest - max(ends), highest - min(ends)


def _seams_along(bag: SizedBag, edge: str) -> Iterator[tuple[tuple[Entry, ...], tuple[Entry, ...]]]:
    """Each seam with an edge: the side that has it first, then the other."""
    for name in bag.parts("seams"):
        join, to = seam_side(bag, name, "join"), seam_side(bag, name, "to")
        for mine, other in ((join, to), (to, join)):
            if any(f"{entry.use}.{entry.name}" == edge and not entry.is_line for entry in mine):
                yield mine, other


def _is_upright(entry: Entry) -> bool:
    (x, y), (end_x, end_y) = entry.points[0], entry.points[-1]
    return abs(x - end_x) < SAME < abs(y - end_y)


def _beyond(bag: SizedBag, use: Use, area: Area, height: float) -> Iterator[Part]:
    """What is sewn to the top and the foot of the side's piece and runs on over the bag, or under it."""
    zips = {each["name"] for each in bag.grade["findings"] if each["kind"] == "zip"}
    for edge, top, bottom in (("top", 0.0, area.top), ("bottom", area.bottom, height)):
        if bottom - top < SAME:
            continue
        for mine, other in _seams_along(bag, f"{use.name}.{edge}"):
            if len(mine) != 1:
                continue
            # The outline runs clockwise: its top from left to right, its bottom from right to left.
            rightwards = mine[0].forward == (edge == "top")
            scale = area.right / (other[-1].end or 1.0)
            for entry in other:
                ends = entry.start * scale, entry.end * scale
                left, right = ends if rightwards else (area.right - ends[1], area.right - ends[0])
                points = ((left, top), (right, top), (right, bottom), (left, bottom))
                if entry.use in zips:
                    yield Part("zip", entry.use, points)
                elif entry.use in bag.uses():
                    yield Part("piece", entry.use, points, bag.outer_material(bag.uses()[entry.use].piece))


def _wrapped(bag: SizedBag, front: Use, across: float, depth: float, height: float) -> Iterator[Part]:
    """Front and back that reach round the bag's sides and meet in the middle of them."""
    back = find_wall(bag, "back")
    if back is None:
        return
    for use, left, right, move in (
        (front, across / 2, (across + depth) / 2, -across / 2),
        (back, -(across + depth) / 2, -across / 2, (across + depth) / 2 + depth / 2),
    ):
        width, drawn = piece_size(bag, use)
        if abs(width - across - depth) > SAME:
            continue
        parts = wall_parts(bag, use, Area(-width / 2, 0.0, width / 2, drawn))
        yield from moved(parts, Area(left, 0.0, right, height), move)
