"""Where the layers along a seam or an edge change, and where they are thickest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise

from grading.model.seams import Seam
from grading.supplies.layering import Layering
from grading.supplies.places import Run, place_on_edge
from grading.supplies.plies import Plies, together


def thickest_along(layers: Layering, seam: Seam, join: Run, to: Run) -> tuple[str, Plies]:
    """Which edges meet where a seam is thickest along its length, and all that lies there; the first of equals."""
    scale = to.length / join.length if join.length else Fraction(1)
    changes = {*_changes(layers, join), *(place / scale for place in _changes(layers, to) if scale)}
    found: list[tuple[Fraction, str, Plies]] = []
    for start, end in pairwise(sorted(place for place in changes if 0 <= place <= join.length)):
        middle = (start + end) / 2
        number, other = join.entry_at(middle), to.entry_at(middle * scale)
        plies = together(_at(layers, join, number, middle), _at(layers, to, other, middle * scale))
        where = f"{seam.join[number].reference} on {seam.to[other].reference}"
        found.append((layers.thickness(plies), where, plies))
    _, where, plies = max(found, key=lambda each: each[0])
    return where, plies


def opposite(layers: Layering, run: Run, place: Fraction) -> Plies:
    """What a side brings to a place along it."""
    number = run.entry_at(place)
    return _at(layers, run, number, min(place, run.ends[number][1]))


def thickest_on_edge(layers: Layering, use: str, edge: str) -> Plies:
    """What lies in an edge where it is thickest."""
    grade = layers.grade
    whole = grade.model.parts.edge(use, edge).length.enclosure(grade.values).low
    places = sorted({Fraction(0), whole, *_parts(layers, use, edge)})
    middles = [(start + end) / 2 for start, end in pairwise(place for place in places if 0 <= place <= whole)]
    return max((layers.at_edge(use, edge, middle) for middle in middles), key=layers.thickness)


def _at(layers: Layering, run: Run, number: int, place: Fraction) -> Plies:
    return layers.at_entry(run.side[number], place_on_edge(layers.grade, run, number, place))


def _changes(layers: Layering, run: Run) -> Iterator[Fraction]:
    """The places along a side at which its layers may change."""
    for entry, (start, end) in zip(run.side, run.ends, strict=True):
        yield from (start, end)
        if entry.is_line:
            continue
        begins = entry.start.enclosure(layers.grade.values).low
        for part in _parts(layers, entry.use, entry.edge.name):
            place = start + part - begins if entry.forward else end - part + begins
            if start < place < end:
                yield place


def _parts(layers: Layering, use: str, edge: str) -> Iterable[Fraction]:
    """Where what an edge catches begins and ends along it."""
    return (place for catch in layers.catches.get((use, edge), ()) if catch.part is not None for place in catch.part)
