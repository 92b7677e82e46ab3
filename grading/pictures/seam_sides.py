"""The two sides of a seam at a size: what each is made of, in the order and direction in which it is sewn; floats."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from grading.drawing.cut_path import Place, millimetres, place
from grading.pictures.bag_document import SizedBag
from grading.pictures.stitching_path import along_points, chain_length, edge_points


@dataclass(frozen=True)
class Entry:
    """One part of a side in mm from the side's start, `forward` as its outline runs; `points` as its piece is drawn."""

    use: str
    name: str
    start: float
    end: float
    forward: bool
    is_line: bool
    from_: float
    to: float
    points: tuple[Place, ...]

    def along(self, distance: float) -> float | None:
        """Where a place along the whole edge lies on the side; None where it lies beyond this part."""
        if not self.from_ - 0.01 <= distance <= self.to + 0.01:
            return None
        return self.start + (distance - self.from_ if self.forward else self.to - distance)


def seam_side(bag: SizedBag, seam: str, side: str) -> tuple[Entry, ...]:
    """The parts of the `join` or the `to` side of a seam."""
    at, entries = 0.0, []
    for written in bag.parts("seams")[seam][side]:
        entry = _entry(bag, written, at, side == "join")
        entries.append(entry)
        at = entry.end
    return tuple(entries)


def notches_on(bag: SizedBag, side: tuple[Entry, ...]) -> Iterator[tuple[str, float]]:
    """Every notch on a side as `use.notch`, and where it lies from the side's start in mm."""
    uses = bag.uses()
    for entry in side:
        if entry.use not in uses or entry.is_line:
            continue
        for name, notch in bag.grade["pieces"][uses[entry.use].piece].get("notches", {}).items():
            if notch["edge"] == entry.name:
                at = entry.along(millimetres(notch["at"]))
                if at is not None:
                    yield f"{entry.use}.{name}", at


def _entry(bag: SizedBag, written: Any, start: float, is_join: bool) -> Entry:
    given = _given(written)
    is_line = "line" in given
    use, _, name = str(given.get("line", given.get("edge"))).partition(".")
    points, whole = _drawn(bag, use, name, is_line)
    from_ = float(bag.length(given["from"])) if "from" in given else 0.0
    to = float(bag.length(given["to"])) if "to" in given else whole
    direction = given.get("direction") or ("forward" if is_join else "backward")
    chain = (along_points(points, from_), along_points(points, to)) if {"from", "to"} & given.keys() else points
    return Entry(use, name, start, start + to - from_, direction == "forward", is_line, from_, to, chain)


def _given(written: Any) -> dict[str, Any]:
    if not isinstance(written, str):
        return dict(written)
    edge, _, direction = written.partition(" ")
    return {"edge": edge, **({"direction": direction.strip()} if direction else {})}


def _drawn(bag: SizedBag, use: str, name: str, is_line: bool) -> tuple[tuple[Place, ...], float]:
    """The points of an edge or a line as its piece is drawn, and its length as printed."""
    uses = bag.uses()
    if use not in uses:
        return _zip_edge(bag, use, name)
    piece = bag.grade["pieces"][uses[use].piece]
    if is_line:
        line = piece["lines"][name]
        points = (place(line["from"]), place(line["to"]))
        return points, chain_length(points)
    return edge_points(piece)[name], millimetres(piece["edges"][name]["length"])


def _zip_edge(bag: SizedBag, name: str, edge: str) -> tuple[tuple[Place, ...], float]:
    finding = next(each for each in bag.grade["findings"] if each["name"] == name)
    length, exposed = millimetres(finding["length"]), millimetres(finding["width"])
    corners = {"top": ((0.0, 0.0), (length, 0.0)), "right": ((length, 0.0), (length, -exposed))}
    corners |= {"bottom": ((length, -exposed), (0.0, -exposed)), "left": ((0.0, -exposed), (0.0, 0.0))}
    points = corners[edge]
    return points, chain_length(points)
