"""Free paths: edges drawn from point to point, straight or curved, and what of a curve cannot be drawn."""

from __future__ import annotations

from collections.abc import Sequence

from grading.document.pieces import PathEdge, PathOutline, Place
from grading.document.values import Expression
from grading.form import Form
from grading.model.bounds import comes_to_rest
from grading.model.draft import Draft
from grading.model.segment import HALF, Edge, Point, Segment, Turn, draw_segment


def free_path(draft: Draft, path: str, written: PathOutline) -> Sequence[Edge]:
    """The edges of a free path; its faults are noted in the draft."""
    before = len(draft.faults)
    start = at = _point(draft, f"{path}.start", written.start)
    edges: list[Edge] = []
    for number, edge in enumerate(written.edges):
        here = f"{path}.edges.{number}"
        to = _point(draft, f"{here}.to", edge.to)
        edges.append(Edge(edge.name, _path_segments(draft, here, at, to, edge)))
        at = to
    if len(draft.faults) == before and not ((at.x - start.x).is_zero and (at.y - start.y).is_zero):
        draft.fault(
            f"{path}.edges.{len(written.edges) - 1}.to",
            f"the outline does not close: it starts at {_shown(draft, start)} and ends at {_shown(draft, at)}",
            "let the last edge end where the first one starts",
        )
    return edges


def read_place(draft: Draft, path: str, x: Expression, y: Expression) -> Point:
    """A point of a piece, as for its lines."""
    return _point(draft, path, (x, y))


def _path_segments(draft: Draft, path: str, start: Point, end: Point, edge: PathEdge) -> tuple[Segment, ...]:
    if edge.half is not None:
        return _half(draft, path, start, end, edge.half)
    if edge.ellipse is not None:
        return (_ellipse(draft, path, start, end, edge.ellipse),)
    if edge.arc is not None and edge.rise is not None:
        return (_arc(draft, path, start, end, edge.arc, draft.rational(f"{path}.rise", edge.rise)),)
    if edge.cubic is not None:
        return (_cubic(draft, path, start, end, edge.cubic),)
    segment = draw_segment(draft, start, end, edge.quarter)
    if edge.quarter is not None and not (
        segment.signs[0] and segment.signs[1] and (segment.radius - segment.along.times(segment.signs[1])).is_zero
    ):
        draft.fault(
            f"{path}.to",
            f"no quarter arc goes from {_shown(draft, start)} to {_shown(draft, end)}",
            "let it go as far along as across, or make it an ellipse",
        )
    return (segment,)


def _half(draft: Draft, path: str, start: Point, end: Point, turn: Turn) -> tuple[Segment, ...]:
    chord = draw_segment(draft, start, end, None)
    if not (chord.is_level or chord.is_upright) or chord.signs == (0, 0):
        draft.fault(
            f"{path}.to",
            f"no half arc goes from {_shown(draft, start)} to {_shown(draft, end)}",
            "let it end straight across from, or straight above or below, its start",
        )
        return (chord,)
    half = HALF if turn == "right" else -HALF
    middle = start.shifted(chord.across.times(HALF), chord.along.times(HALF))
    # The top of the arc lies on the left of the way when it turns right.
    top = middle.shifted((-chord.along).times(half), chord.across.times(half))
    return (draw_segment(draft, start, top, turn), draw_segment(draft, top, end, turn))


def _ellipse(draft: Draft, path: str, start: Point, end: Point, turn: Turn) -> Segment:
    segment = draw_segment(draft, start, end, turn, ellipse=True)
    if not (segment.signs[0] and segment.signs[1]):
        draft.fault(
            f"{path}.to",
            f"no quarter of an ellipse goes from {_shown(draft, start)} to {_shown(draft, end)}",
            "let it go both across and along, or draw a line",
        )
        return segment
    across, along = (
        side.times(sign) for side, sign in zip((segment.across, segment.along), segment.signs, strict=True)
    )
    return draw_segment(draft, start, end, turn) if (across - along).is_zero else segment


def _arc(draft: Draft, path: str, start: Point, end: Point, turn: Turn, rise: Form) -> Segment:
    segment = draw_segment(draft, start, end, turn, rise=rise)
    value, chord = draft.at_base(rise), segment.chord.enclosure(draft.base, 12).high
    text = draft.ruler.text
    if value <= 0:
        draft.fault(f"{path}.rise", f"this arc rises by {text(value)}", "give it a rise above 0, or draw a line")
    elif 2 * value > chord > 0:
        draft.fault(
            f"{path}.rise",
            f"an arc that rises {text(value)} over a chord of {text(round(chord, 2))} turns by more than half a circle",
            "let it rise by at most half of its chord, or draw it as two arcs",
        )
    return segment


def _cubic(draft: Draft, path: str, start: Point, end: Point, written: tuple[Place, Place]) -> Segment:
    inner = (
        _point(draft, f"{path}.cubic.0", written[0]),
        _point(draft, f"{path}.cubic.1", written[1]),
    )
    places = [(draft.at_base(point.x), draft.at_base(point.y)) for point in (start, *inner, end)]
    for number, (one, other, name) in enumerate(((0, 1, "start"), (3, 2, "end"))):
        if places[one] == places[other]:
            draft.fault(
                f"{path}.cubic.{number}",
                f"at the base size this point lies on the {name} of the curve, which has no direction there",
                "move it a little way along the curve",
            )
            return draw_segment(draft, start, end, inner=inner)
    if places[0] != places[3] and comes_to_rest(places):
        draft.fault(
            f"{path}.cubic", "at the base size this curve has a cusp, or runs back on itself", "move one of its points"
        )
    return draw_segment(draft, start, end, inner=inner)


def _point(draft: Draft, path: str, place: Place) -> Point:
    return Point(draft.rational(f"{path}.0", place[0]), draft.rational(f"{path}.1", place[1]))


def _shown(draft: Draft, point: Point) -> str:
    return f"({draft.ruler.text(draft.at_base(point.x))}, {draft.ruler.text(draft.at_base(point.y))})"
