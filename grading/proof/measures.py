"""Claims of the ruler: what lies on it, what was altered for it, and how far it moved each dimension."""

from __future__ import annotations

from collections.abc import Iterator

from grading.grade import Grade
from grading.proof.claims import Claim


def ruler_claims(grade: Grade) -> Iterator[Claim]:
    """Each listed measure is a multiple of the ruler's step."""
    ruler = grade.model.ruler
    for measure in grade.model.measures:
        value = measure.form.enclosure(grade.values).low
        yield Claim(
            "ruler",
            measure.about,
            f"{measure.about} lies on the ruler",
            ruler.text(value),
            f"a multiple of {ruler}",
            ruler.lies_on(value),
            "ruler",
        )


def ease_claims(grade: Grade) -> Iterator[Claim]:
    """Each ease put on the ruler is near the written one."""
    ruler = grade.model.ruler
    for seam in grade.model.seams.values():
        written = seam.written_ease.enclosure(grade.values)
        put = seam.ease.enclosure(grade.values)
        if seam.written.ease is None or seam.factor != 1:
            continue
        change = abs(put.low - written.low)
        yield Claim(
            "ease",
            f"seam:{seam.name}",
            f"the ease of {seam.name} as measured is the written one within {ruler.text(seam.tolerance)}",
            ruler.text(put.low),
            ruler.text(written.low),
            change <= seam.tolerance,
            f"seams.{seam.name}.ease",
            "write an ease that lies on the ruler, or take a finer ruler",
        )


def displacement_claims(grade: Grade) -> Iterator[Claim]:
    """Each dimension lies within its reach of the nearest point."""
    ruler = grade.model.ruler
    for name, value in grade.values.items():
        moved = abs(value - grade.solution.nearest[name])
        reach = grade.problem.reach[name]
        yield Claim(
            "displacement",
            name,
            f"{name} was moved by at most {ruler.text(reach)} to lie on the ruler",
            ruler.text(value),
            ruler.text(grade.solution.nearest[name]),
            moved <= reach,
            f"dimensions.{name}",
        )
