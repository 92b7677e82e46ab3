"""A grade as other papers rest on it: its pattern at the printed dimensions, and the cut list that follows."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from grading.verify.cutting.cut_list import Row
from grading.verify.document.options import chosen_options
from grading.verify.document.pattern import Pattern, read_head, read_pattern
from grading.verify.exact.lengths import VALUE_DIGITS, length_or_none
from grading.verify.exact.points import Point, point_of
from grading.verify.geometry.shapes import Shape
from grading.verify.printing.expected import Expected, expected_at
from grading.verify.printing.printed import printed_claim, shown
from grading.verify.unreadable import refuse
from grading.verify.verdict import Claim


@dataclass(frozen=True)
class Graded:
    """A pattern at the printed size of a grade; nothing else of the grade is believed.

    `printed_pieces` is what it prints of its pieces, to be compared with what follows from the size.
    """

    pattern: Pattern
    point: Point
    expected: Expected
    rows: tuple[Row, ...]
    size: Mapping[str, Any]
    printed_pieces: Mapping[str, Any]

    @property
    def shapes(self) -> Mapping[str, Shape]:
        """The outlines at this size."""
        return self.expected.shapes


def read_graded(pattern: object, grade: object) -> Graded:
    """Return the pattern at the size of a grade."""
    if not isinstance(grade, dict) or grade.get("kind") != "grade":
        refuse("is not a grade", "grade")
    size = grade.get("size")
    if not isinstance(size, dict):
        refuse("does not say which size it is: a name and a request", "grade.size")
    head = read_head(pattern, chosen_options(pattern, size.get("request"), "grade.size.request"))
    drawn = read_pattern(head, head.request(size.get("request"), "grade.size.request"))
    point = printed_point(drawn, grade)
    expected = expected_at(drawn, point)
    for piece in drawn.pieces.values():
        if piece.is_template:
            # Its cut box, on which its rows rest, is found while it is drawn.
            expected.piece(piece, "")
    pieces = grade.get("pieces")
    printed = pieces if isinstance(pieces, dict) else {}
    return Graded(drawn, point, expected, tuple(expected.rows()), size, printed)


def printed_point(pattern: Pattern, grade: Mapping[str, Any]) -> Point:
    """Return the printed values of the dimensions; without them nothing can be judged."""
    given = grade.get("dimensions")
    if not isinstance(given, dict):
        refuse("has no dimensions", "grade.dimensions")
    values = {}
    for title in pattern.head.dimensions.lengths:
        entry = given.get(title)
        value = length_or_none(entry.get("value"), VALUE_DIGITS) if isinstance(entry, dict) else None
        if value is None:
            refuse("is missing, or is no length", f"grade.dimensions.{title}.value")
        values[title] = value
    return point_of(values)


def head_claims(graded: Graded, given: Mapping[str, Any], known: Collection[str]) -> Iterator[Claim]:
    """Yield that a paper about a grade says of which pattern, size and ruler it is, and nothing that is not known."""
    ruler = graded.pattern.ruler
    format_given = given.get("format")
    yield printed_claim("format", format_given, "1", format_given == 1 and type(format_given) is int)
    name = graded.pattern.head.name
    yield printed_claim("pattern", given.get("pattern"), shown(name), given.get("pattern") == name)
    size = graded.size
    yield printed_claim("size", given.get("size"), "the size of the grade", given.get("size") == size)
    step = ruler.printed(ruler.step)
    yield printed_claim("ruler", given.get("ruler"), step, given.get("ruler") == step)
    for key in given:
        if key not in known:
            yield printed_claim(shown(key), given[key], "nothing", False)
