"""Which pieces are the front and the back of a bag, and what lies on a wall and shows; floats, for pictures only."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from grading.drawing.cut_path import Place, millimetres, place
from grading.pictures.bag_document import Json, SizedBag, Use
from grading.pictures.stitching_path import stitching_points

SHOWN_LINES = frozenset({"quilting", "topstitching"})


@dataclass(frozen=True)
class Area:
    """A rectangle of a view in mm, x to the right and y downwards."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Part:
    """What is drawn of one thing: a piece or a zip by its outline, a line by its two ends; in mm of a view."""

    kind: Literal["piece", "zip", "line"]
    name: str
    points: tuple[Place, ...]
    material: str | None = None


def find_wall(bag: SizedBag, word: str) -> Use | None:
    """The use that is the `front` or the `back` of a bag; None where the document does not tell.

    It is laid over nothing and its top is `up`. A name that begins with the word tells; failing that the front is the
    first use that something is laid on face up.
    """
    laid = {covering["piece"] for covering in bag.parts("coverings").values()}
    walls = [use for use in bag.uses().values() if use.name not in laid and _stands(bag, use)]
    named = [use for use in walls if use.name == word or use.name.startswith(f"{word}_")]
    if named or word != "front":
        return named[0] if named else None
    over = {covering["over"] for covering in bag.parts("coverings").values() if _faces_up(covering)}
    return next((use for use in walls if use.name in over), None)


def wall_parts(bag: SizedBag, use: Use, area: Area) -> Iterator[Part]:
    """What shows of a use that fills an area: itself, its lines, what is laid on it, zips, and what hangs from it."""
    yield from _shown(bag, use, area, frozenset())


def piece_size(bag: SizedBag, use: Use) -> tuple[float, float]:
    """Width and height of a use's stitched box in mm."""
    points = stitching_points(bag.grade["pieces"][use.piece])
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs), max(ys) - min(ys)


def _stands(bag: SizedBag, use: Use) -> bool:
    return bag.pattern["pieces"][use.piece].get("up", "top") == "top" and not use.mirrored


def _faces_up(covering: Json) -> bool:
    return bool(covering.get("face", "up") == "up")


def _shown(bag: SizedBag, use: Use, area: Area, below: frozenset[str]) -> Iterator[Part]:
    if use.name in below:  # what lies on itself, round about, is no bag
        return
    placed = _placing(bag, use, area)
    piece = bag.grade["pieces"][use.piece]
    outline = tuple(placed(point) for point in stitching_points(piece))
    yield Part("piece", use.name, outline, bag.outer_material(use.piece))
    written = bag.pattern["pieces"][use.piece].get("lines", {})
    for name, line in piece.get("lines", {}).items():
        if written.get(name, {}).get("kind") in SHOWN_LINES:
            yield Part("line", name, (placed(place(line["from"])), placed(place(line["to"]))))
    uses, inner = bag.uses(), below | {use.name}
    for name, covering in bag.parts("coverings").items():
        if covering["over"] == use.name and _faces_up(covering) and covering["piece"] in uses:
            clear = {side: millimetres(text) for side, text in bag.grade["coverings"][name].items()}
            inside = Area(
                area.left + clear["left"],
                area.top + clear["top"],
                area.right - clear["right"],
                area.bottom - clear["bottom"],
            )
            yield from _shown(bag, uses[covering["piece"]], inside, inner)
            yield from _zips(bag, covering["piece"], inside)
    for hung, line_name in _hanging(bag, use.name):
        line = piece["lines"].get(line_name)
        if line is not None:
            ends = (placed(place(line["from"])), placed(place(line["to"])))
            yield from _shown(bag, hung, _hung(bag, hung, ends), inner)


def _placing(bag: SizedBag, use: Use, area: Area) -> Callable[[Place], Place]:
    """From the drawing of a piece to the area that it fills: stretched to it, since what is taken up is not told."""
    points = stitching_points(bag.grade["pieces"][use.piece])
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    bottom, top = min(y for _, y in points), max(y for _, y in points)

    def placed(point: Place) -> Place:
        across = (point[0] - left) / ((right - left) or 1.0)
        down = (top - point[1]) / ((top - bottom) or 1.0)
        across = 1 - across if use.mirrored else across
        return area.left + across * (area.right - area.left), area.top + down * (area.bottom - area.top)

    return placed


def _zips(bag: SizedBag, use: str, area: Area) -> Iterator[Part]:
    """Zips that are sewn to the top or the foot of what lies in an area."""
    middle = (area.left + area.right) / 2
    for zip_, length, exposed in bag_zips(bag):
        for seam in bag.parts("seams").values():
            named = {_edge_of(entry) for side in ("join", "to") for entry in seam[side]}
            if {f"{use}.top", f"{zip_}.bottom"} <= named:
                y = area.top - exposed
            elif {f"{use}.bottom", f"{zip_}.top"} <= named:
                y = area.bottom
            else:
                continue
            left, right = middle - length / 2, middle + length / 2
            yield Part("zip", zip_, ((left, y), (right, y), (right, y + exposed), (left, y + exposed)))


def bag_zips(bag: SizedBag) -> Iterator[tuple[str, float, float]]:
    """Each zip of a bag with its length and the width that shows, in mm."""
    for finding in bag.grade["findings"]:
        if finding["kind"] == "zip":
            yield finding["name"], millimetres(finding["length"]), millimetres(finding["width"])


def _hanging(bag: SizedBag, wall: str) -> Iterator[tuple[Use, str]]:
    """Uses that hang from a line of a wall by their top, sewn right sides together and folded down, and the line."""
    uses = bag.uses()
    laid = {covering["piece"] for covering in bag.parts("coverings").values()}
    for seam in bag.parts("seams").values():
        for one, other in (("join", "to"), ("to", "join")):
            line, edge = _lone(seam[one], "line"), _lone(seam[other], "edge")
            if line is None or edge is None or line[0] != wall or edge[1] != "top":
                continue
            if edge[0] in uses and edge[0] not in laid:
                yield uses[edge[0]], line[1]


def _lone(side: Sequence[Any], kind: str) -> tuple[str, str] | None:
    """The use and the edge (or line) of a side of one entry, run in its usual direction; None of any other side."""
    if len(side) != 1:
        return None
    entry = side[0]
    written = entry if isinstance(entry, str) and kind == "edge" else None
    if isinstance(entry, dict) and set(entry) == {kind}:
        written = entry[kind]
    if written is None or " " in written:
        return None
    use, _, name = written.partition(".")
    return use, name


def _edge_of(entry: Any) -> str:
    written = entry if isinstance(entry, str) else entry.get("edge", "")
    return str(written).partition(" ")[0]


def _hung(bag: SizedBag, use: Use, ends: tuple[Place, Place]) -> Area:
    width, height = piece_size(bag, use)
    middle, y = (ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2
    return Area(middle - width / 2, y, middle + width / 2, y + height)
