"""The size chart: all named sizes of a pattern beside each other, and what held each of them back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.compare.answer import DimensionAnswer, explain
from grading.compare.sizes import GradedSizes, Refusal
from grading.cut.pieces import Extent
from grading.document import Pattern
from grading.exact import Enclosure, Ruler
from grading.fit.volume import inside_volume
from grading.grade import Grade

MAIN = "main"
"""The role of the main material by its usual name; a pattern without it has its first material as the main one."""


@dataclass(frozen=True)
class BoughtZip:
    """A zip: the length it has in the bag and the length it is bought in, in mm."""

    length: Fraction
    bought: Fraction | None


@dataclass(frozen=True)
class ChartSize:
    """One size of a chart. Lengths in mm, exact or enclosed.

    inside  the room inside, if the pattern states it: width, height, depth
    volume  its volume in mm³, with pi as PI40
    boxes   the finished box of each piece of the main material, strips left out
    stock   the value of each dimension that is chosen from stock
    held    the dimensions that a relation holds back from the wish
    """

    name: str
    ruler: Ruler
    dimensions: Mapping[str, Fraction]
    counts: frozenset[str]
    inside: tuple[Enclosure, Enclosure, Enclosure] | None
    volume: Fraction | None
    boxes: Mapping[str, Extent]
    stock: Mapping[str, Fraction]
    zips: Mapping[str, BoughtZip]
    held: tuple[DimensionAnswer, ...]


@dataclass(frozen=True)
class Chart:
    """All named sizes of a pattern, base first: each made, or with the reason why it cannot be made."""

    pattern: Pattern
    sizes: Mapping[str, ChartSize | Refusal]


def make_chart(graded: GradedSizes) -> Chart:
    """The chart of graded sizes."""
    return Chart(
        graded.pattern,
        {name: size if isinstance(size, Refusal) else _charted(name, size) for name, size in graded.sizes.items()},
    )


def _charted(name: str, grade: Grade) -> ChartSize:
    model = grade.model
    counts = model.draft.counts
    dimensions = model.pattern.dimensions
    return ChartSize(
        name=name,
        ruler=model.ruler,
        dimensions={key: Fraction(counts[key]) if key in counts else grade.values[key] for key in dimensions},
        counts=frozenset(counts),
        inside=_inside(grade),
        volume=inside_volume(model, grade.values),
        boxes={key: drawn.stitched for key, drawn in grade.pieces.items() if key in _main_pieces(grade)},
        stock={key: grade.values[key] for key, dimension in dimensions.items() if dimension.sizing == "stock"},
        zips={
            finding.name: BoughtZip(finding.length, finding.stock)
            for finding in grade.findings.values()
            if finding.kind == "zip" and finding.length is not None
        },
        held=tuple(answer for answer in explain(grade).dimensions if answer.is_held),
    )


def _inside(grade: Grade) -> tuple[Enclosure, Enclosure, Enclosure] | None:
    written = grade.model.pattern.inside
    if written is None:
        return None
    width, height, depth = (
        grade.model.draft.stated(f"inside.{number}", value).enclosure(grade.values)
        for number, value in enumerate(written)
    )
    return width, height, depth


def _main_pieces(grade: Grade) -> frozenset[str]:
    pattern = grade.model.pattern
    main = MAIN if MAIN in pattern.materials else next(iter(pattern.materials))
    return frozenset(
        name
        for name, piece in grade.model.pieces.items()
        if not piece.written.strip and any(layer.material == main for layer in piece.layers)
    )
