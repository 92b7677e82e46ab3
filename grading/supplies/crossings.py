"""Where a seam runs over the allowances of seams that were made before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from grading.grade import Grade
from grading.model.seams import Seam, SeamEntry
from grading.proof.corners import Corners
from grading.supplies.layering import Layering
from grading.supplies.order import Earlier
from grading.supplies.places import Run, place_on_edge
from grading.supplies.plies import Plies, folded, together
from grading.supplies.settings import Pressed


@dataclass(frozen=True)
class Crossing:
    """An end of one entry and the start of the next, which the seam `over` has joined: at `place` along the side.

    `before` and `after` are what the two edges bring to the seam there.
    """

    over: str
    place: Fraction
    edges: tuple[str, str]
    before: Plies
    after: Plies


def crossings(layers: Layering, seam: Seam, run: Run, earlier: Earlier) -> Iterator[Crossing]:
    """All crossings of one side; of a closed one also where it ends and begins again."""
    last = len(run.side) - 1
    pairs = [*pairwise(range(len(run.side))), *([(last, 0)] if seam.written.closed else [])]
    for before, after in pairs:
        over = _joined_by(layers.grade, run.side[before], run.side[after], earlier)
        if over is not None:
            yield Crossing(
                over.name,
                run.ends[before][1] if after else Fraction(0),
                (run.side[before].reference, run.side[after].reference),
                _at_end(layers, run, before, run.ends[before][1]),
                _at_end(layers, run, after, run.ends[after][0]),
            )


def _at_end(layers: Layering, run: Run, number: int, place: Fraction) -> Plies:
    return layers.at_entry(run.side[number], place_on_edge(layers.grade, run, number, place))


def _joined_by(grade: Grade, before: SeamEntry, after: SeamEntry, earlier: Earlier) -> Seam | None:
    """The seam that brought two corners together; None where they are one corner, or nothing has."""
    corners = Corners(grade.model, grade.values)
    if corners.meet(before, after):
        return None
    for seams in (earlier.of(before.use, after.use), earlier.seams):
        for seam in seams:
            corners.sew(seam)
            if corners.meet(before, after):
                return seam
    return None


def crossed(layers: Layering, crossing: Crossing, pressed: Pressed) -> Plies:
    """What lies on this side of a seam where it crosses another's allowances.

    Turned apart, each edge lies on its own allowance; turned to one side, both allowances lie on one of the edges.
    """
    thick, thin = by_thickness(layers, crossing)
    return folded(thick, 2) if pressed == "apart" else together(folded(thick, 2), thin)


def trimmed(layers: Layering, crossing: Crossing, pressed: Pressed) -> Plies:
    """The same with the allowance of the thicker edge trimmed away."""
    thick, thin = by_thickness(layers, crossing)
    if pressed == "aside":
        return together(thick, thin)
    return max(thick, folded(thin, 2), key=layers.thickness)


def by_thickness(layers: Layering, crossing: Crossing) -> tuple[Plies, Plies]:
    """The thicker of the two edges, and the other."""
    if layers.thickness(crossing.after) > layers.thickness(crossing.before):
        return crossing.after, crossing.before
    return crossing.before, crossing.after
