"""What a maker needs to draw a piece with ruler and square, in words: allowances, corners, notches, lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from grading.booklet.edition import Edition
from grading.booklet.typography import words
from grading.document.pieces import Piece
from grading.exact import print_length, read_length

Json = Mapping[str, Any]
Point = tuple[Fraction, Fraction]
ALL_ROUND = "all round"


def allowances(piece: Json, edition: Edition) -> str:
    """The allowance of each edge; those that are alike together."""
    found: dict[str, list[str]] = {}
    for name, edge in piece["edges"].items():
        found.setdefault(edge["allowance"], []).append(words(name))
    return "Allowance " + _listed(found, edition)


def finishes(piece: Piece) -> str:
    """What becomes of the edges that have no seam, and how the allowances of others are finished."""
    found: dict[str, list[str]] = {}
    for name, edge in piece.edges.items():
        for what in (edge.fate, edge.finish):
            if what is not None:
                found.setdefault(what, []).append(words(name))
    return "; ".join(f"{what}: {', '.join(edges)}" for what, edges in found.items()).capitalize()


def corners(piece: Json, edition: Edition) -> str:
    """The radius of each rounded edge on the stitching line."""
    found: dict[str, list[str]] = {}
    start = _point(piece["start"])
    for name, edge in piece["edges"].items():
        for segment in edge["segments"]:
            end = _point(segment["to"])
            if "centre" in segment and "axes" not in segment:
                radius = _radius(start, end, _point(segment["centre"]), edition)
                if radius is not None and words(name) not in found.setdefault(radius, []):
                    found[radius].append(words(name))
            start = end
    return f"Radius {_listed(found, edition, len(piece['edges']))}" if found else ""


def notches(piece: Json, edition: Edition) -> str:
    """Where the notches are, from the ends of their edges on the stitching line."""
    found: dict[str, list[Fraction]] = {}
    for notch in piece["notches"].values():
        found.setdefault(notch["edge"], []).append(read_length(notch["at"]))
    listed = ". ".join(
        f"{words(edge).capitalize()}: {', '.join(_places(piece, edge, sorted(set(places)), edition))}"
        for edge, places in found.items()
    )
    return f"Notches. {listed}" if listed else ""


def _places(piece: Json, edge: str, places: list[Fraction], edition: Edition) -> Iterator[str]:
    length = read_length(piece["edges"][edge]["length"])
    first, last = ends_of(piece, edge)
    for at in places:
        text = edition.length(print_length(at, in_inches=edition.ruler.in_inches))
        if at == 0:
            yield f"at the {first}"
        elif at == length:
            yield f"at the {last}"
        elif 2 * at == length:
            yield f"in the middle ({text} from the {first})"
        else:
            yield f"{text} from the {first}"


def ends_of(piece: Json, edge: str) -> tuple[str, str]:
    """The first and the last end of an edge, as they lie in the drawing: "left end", "upper end"."""
    start = _point(piece["start"])
    for name, each in piece["edges"].items():
        end = _point(each["segments"][-1]["to"])
        if name == edge:
            across, along = end[0] - start[0], end[1] - start[1]
            if abs(across) > abs(along):
                return ("left end", "right end") if across > 0 else ("right end", "left end")
            return ("lower end", "upper end") if along > 0 else ("upper end", "lower end")
        start = end
    raise KeyError(edge)


def lines(piece: Json, written: Piece, edition: Edition) -> Iterator[str]:
    """Each line that is marked or sewn: its ends from the left and below the top of the stitching line's box."""
    vertices = [_point(piece["start"])]
    vertices += [_point(segment["to"]) for edge in piece["edges"].values() for segment in edge["segments"]]
    left, top = min(x for x, _ in vertices), max(y for _, y in vertices)

    def text(length: Fraction) -> str:
        return edition.length(print_length(length, in_inches=edition.ruler.in_inches))

    for name, line in piece["lines"].items():
        kind = written.lines[name].kind if name in written.lines else "placement"
        (x1, y1), (x2, y2) = _point(line["from"]), _point(line["to"])
        ends = (text(x1 - left), text(top - y1)), (text(x2 - left), text(top - y2))
        title = words(name) if kind in name else f"{words(name)} ({kind})"
        if y1 == y2:
            yield f"{title}: {ends[0][1]} below the top, from {ends[0][0]} to {ends[1][0]} from the left"
        elif x1 == x2:
            yield f"{title}: {ends[0][0]} from the left, from {ends[0][1]} to {ends[1][1]} below the top"
        else:
            yield f"{title}: {' below the top, '.join(ends[0][::-1])} from the left, to {ends[1][1]} and {ends[1][0]}"


def _listed(found: Mapping[str, list[str]], edition: Edition, edges: int = 0) -> str:
    if len(found) == 1 and not edges:
        return f"{edition.length(next(iter(found)))} {ALL_ROUND}"
    return "; ".join(f"{edition.length(length)}: {', '.join(names)}" for length, names in found.items())


def _point(texts: Any) -> Point:
    return read_length(texts[0]), read_length(texts[1])


def _radius(start: Point, end: Point, centre: Point, edition: Edition) -> str | None:
    """The radius of a quarter, exactly; None for another arc, which is cut from a template."""
    across, along = abs(end[0] - start[0]), abs(end[1] - start[1])
    if across != along or centre not in ((start[0], end[1]), (end[0], start[1])):
        return None
    return print_length(across, in_inches=edition.ruler.in_inches)
