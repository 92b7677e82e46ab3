"""Where pieces lie on the pages: few pages, and few that have to be joined.

The largest piece comes first; each goes where it needs the fewest pages that are not in use yet, turned by a quarter if
that is better. Pages lie in a grid; x goes to the right and y downwards here, from the first page's upper left corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, floor

from grading.drawing.box import Box
from grading.drawing.papers import Paper

GAP = 5.0
"""Between two pieces."""
MOST_ACROSS = 1200.0
"""How far pages go to the right, unless a piece is wider."""
SMALL = 1e-6
Page = tuple[int, int]
"""Row and column."""
Ways = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Spot:
    """Where a piece's box lies, whether it is turned by a quarter, and on which pages."""

    left: float
    top: float
    turned: bool
    pages: frozenset[Page]
    box: Box


@dataclass
class _Plan:
    """The grid, and what lies on it so far."""

    paper: Paper
    columns: int
    used: set[Page] = field(default_factory=set)
    boxes: list[Box] = field(default_factory=list)


def arrange(sizes: Sequence[Ways], paper: Paper) -> tuple[Spot, ...]:
    """A spot for each of these sizes (width and height in mm as drawn, and turned), in their order."""
    pitch = paper.pitch
    widest = max((min(size[0] for size in ways) for ways in sizes), default=0.0)
    across = widest if paper.endless else max(MOST_ACROSS, widest)
    plan = _Plan(paper, max(1, ceil((across - paper.overlap) / pitch[0] - SMALL)))
    order = sorted(range(len(sizes)), key=lambda number: (-sizes[number][0][0] * sizes[number][0][1], number))
    spots: dict[int, Spot] = {}
    for number in order:
        spots[number] = _best(sizes[number], plan)
        plan.used |= spots[number].pages
        plan.boxes.append(spots[number].box)
    return tuple(spots[number] for number in range(len(sizes)))


def _best(size: Ways, plan: _Plan) -> Spot:
    return min(_spots(size, plan), key=lambda each: _cost(each, plan))


def _cost(spot: Spot, plan: _Plan) -> tuple[float, ...]:
    new = len(spot.pages - plan.used)
    if plan.paper.endless:
        return (new, len(spot.pages), round(spot.box.top, 3), spot.left, spot.turned)
    return (new, len(spot.pages), max(spot.pages)[0], round(spot.top, 3), spot.left, spot.turned)


def _spots(size: Ways, plan: _Plan) -> Iterator[Spot]:
    for turned in (0, 1):
        width, height = size[turned]
        for left, top in _corners(plan):
            pages = _pages(left, top, (width, height), plan)
            box = Box(left, top, left + width, top + height)
            if pages is not None and not any(box.grown(GAP - SMALL).meets(other) for other in plan.boxes):
                yield Spot(left, top, bool(turned), pages, box)


def _corners(plan: _Plan) -> Iterator[tuple[float, float]]:
    """Upper left corners that are tried: of pages, and beside and below what lies there."""
    across, down = plan.paper.pitch
    rows = max((row for row, _ in plan.used), default=-1) + 3
    lefts = [across * column for column in range(plan.columns)]
    tops = [down * row for row in range(rows)]
    yield from ((left, top) for top in tops for left in lefts)
    for box in plan.boxes:
        right, low = box.right + GAP, box.top + GAP
        yield right, box.low
        yield box.left, low
        yield right, floor(box.low / down) * down
        yield floor(box.left / across) * across, low
        yield right, low


def _pages(left: float, top: float, size: tuple[float, float], plan: _Plan) -> frozenset[Page] | None:
    """The pages that a box lies on; None where it leaves the grid."""
    across, down = plan.paper.pitch
    first, last = _span(left, size[0], across, plan.paper.overlap)
    if last >= plan.columns:
        return None
    upper, lower = _span(top, size[1], down, plan.paper.overlap)
    return frozenset((row, column) for row in range(upper, lower + 1) for column in range(first, last + 1))


def _span(start: float, length: float, pitch: float, overlap: float) -> tuple[int, int]:
    """From which page to which a length reaches: the last page's frame goes on by the overlap."""
    first = floor(start / pitch + SMALL)
    return first, max(first, ceil((start + length - overlap) / pitch - SMALL) - 1)
