"""Sides of seams: which edges, parts of edges and lines follow one another, and how long they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from grading.verify.document.pieces import Piece
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO, Form, total
from grading.verify.geometry.outlines import Outline
from grading.verify.reading import choice, fields, items, joined, pair_of_names
from grading.verify.unreadable import refuse

DIRECTIONS = ("forward", "backward")


@dataclass(frozen=True, eq=False)
class Use:
    """A piece in one of its uses, or a zip as a rectangle (then it has no piece, and may not be shortened)."""

    name: str
    outline: Outline
    piece: Piece | None
    mirrored: bool
    sold_in_lengths: bool = False


@dataclass(frozen=True, eq=False)
class Entry:
    """A whole edge, a part of one, or a drawn line of a use, and which way it is sewn."""

    use: Use
    name: str
    is_line: bool
    start: Form | None
    end: Form | None
    forward: bool

    @property
    def title(self) -> str:
        """The entry as people name it, `front.right`."""
        return f"{self.use.name}.{self.name}"

    @property
    def whole(self) -> Form:
        """The length of the whole edge or line."""
        if self.is_line and self.use.piece is not None:
            return self.use.piece.lines[self.name].length
        return self.use.outline.edges[self.name].length

    @property
    def ends(self) -> tuple[Form, Form]:
        """From where to where along the edge it runs, from the edge's start."""
        return self.start or ZERO, self.end or self.whole

    @property
    def length(self) -> Form:
        """The length of the part."""
        start, end = self.ends
        return end - start

    @property
    def corners(self) -> tuple[Any, Any]:
        """Start and end of the whole edge or line, as drawn: equal values for equal places."""
        if self.is_line and self.use.piece is not None:
            line = self.use.piece.lines[self.name]
            return (line.start[0].identity, line.start[1].identity), (line.end[0].identity, line.end[1].identity)
        return self.use.outline.corners_of(self.name)


Side = tuple[Entry, ...]


def side_length(side: Side) -> Form:
    """Return the length of a side."""
    return total([entry.length for entry in side])


def side_title(side: Side) -> str:
    """Return the side as people name it."""
    return " + ".join(entry.title for entry in side)


class SideReader:
    """Reads side entries over the given uses."""

    def __init__(self, expressions: Expressions, uses: Mapping[str, Use]) -> None:
        self.expressions = expressions
        self.uses = uses

    def side(self, value: object, path: str, default: str) -> Side:
        """Return a side of at least one entry."""
        entries = items(value, path)
        if not entries:
            refuse("is a side without edges", path)
        return tuple(self.entry(entry, joined(path, i), default) for i, entry in enumerate(entries))

    def entry(self, value: object, path: str, default: str) -> Entry:
        """Return one entry from its text or its object."""
        if isinstance(value, str):
            words = value.split(" ")
            if len(words) > 2:
                refuse('is no edge such as "front.top"', path)
            direction = choice(words[1] if len(words) == 2 else None, path, DIRECTIONS, default)
            return self.edge(words[0], path, None, None, direction == "forward")
        given = fields(value, path, (), ("edge", "line", "from", "to", "direction"))
        direction = choice(given.get("direction"), joined(path, "direction"), DIRECTIONS, default)
        if "line" in given:
            if "edge" in given or "from" in given or "to" in given:
                refuse("is a line and an edge at once", path)
            return self.line(given["line"], joined(path, "line"), direction == "forward")
        start, end = (
            self.expressions.drawn(given[key], joined(path, key)) if key in given else None for key in ("from", "to")
        )
        return self.edge(given.get("edge"), joined(path, "edge"), start, end, direction == "forward")

    def edge(self, value: object, path: str, start: Form | None, end: Form | None, forward: bool) -> Entry:
        """Return an entry for an edge or a part of it."""
        use, edge = self.use_and(value, path)
        if edge not in use.outline.edges:
            refuse(f"names no edge of {use.name}", path)
        return Entry(use, edge, False, start, end, forward)

    def line(self, value: object, path: str, forward: bool) -> Entry:
        """Return an entry for a drawn line."""
        use, line = self.use_and(value, path)
        if use.piece is None or line not in use.piece.lines:
            refuse(f"names no line of {use.name}", path)
        return Entry(use, line, True, None, None, forward)

    def use_and(self, value: object, path: str) -> tuple[Use, str]:
        """Return the use, and the second name, of a text such as `front.top`."""
        title, second = pair_of_names(value, path)
        if title not in self.uses:
            refuse(f"names {title}, which is no use of a piece and no zip", path)
        return self.uses[title], second
