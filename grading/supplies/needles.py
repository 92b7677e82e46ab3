"""Advice on needles, by the thickness that is sewn and by what is sewn through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from grading.grade import Grade
from grading.supplies.rows import words
from grading.supplies.sewing import Sewn

UNSOURCED = "(common practice, no source)"
NEEDLES: tuple[tuple[Fraction | None, str], ...] = (
    (Fraction(1), "80/12"),
    (Fraction(5, 2), "90/14"),
    (Fraction(9, 2), "100/16"),
    (None, "110/18"),
)
"""Up to which thickness, stitched, in mm, each size of needle is taken; common practice, no source."""
MOST_NAMED = 4


def needle_advice(grade: Grade, sewn: Sequence[Sewn]) -> Iterator[str]:
    """A text for each size of needle with what it sews, then one for each thing that asks for a needle of its own."""
    least: Fraction | None = None
    for most, needle in NEEDLES:
        named = [each.name for each in sewn if _is_between(each.thickness, least, most)]
        if named:
            up_to = _range(grade, least, most)
            yield f"Needle {needle} for what is {up_to} thick: {_listed(named)} {UNSOURCED}"
        least = most
    if any(finding.kind == "elastic" for finding in grade.findings.values()):
        yield f"Through elastic a stretch needle, so that its rubber is not cut {UNSOURCED}"
    films = [words(role) for role in _sewn_films(grade)]
    if films:
        yield (
            f"Through {_listed(films)} stitches of 3.5 mm or longer, and clips in place of pins, "
            f"since every hole in film stays {UNSOURCED}"
        )


def _is_between(thickness: Fraction, least: Fraction | None, most: Fraction | None) -> bool:
    return (least is None or thickness > least) and (most is None or thickness <= most)


def _range(grade: Grade, least: Fraction | None, most: Fraction | None) -> str:
    text = grade.model.ruler.text
    return f"up to {text(most)}" if most is not None else f"more than {text(least or Fraction(0))}"


def _listed(names: Sequence[str]) -> str:
    shown = ", ".join(names[:MOST_NAMED])
    return shown if len(names) <= MOST_NAMED else f"{shown} and {len(names) - MOST_NAMED} more"


def _sewn_films(grade: Grade) -> Iterator[str]:
    model = grade.model
    sewn = {entry.use for seam in model.seams.values() for entry in (*seam.join, *seam.to)}
    sewn |= {entry.use for finding in model.findings.values() for entry in finding.along}
    sewn |= {covering.written.piece for covering in model.coverings.values()}
    for role, material in model.pattern.materials.items():
        if material.kind == "film" and any(
            layer.material == role and sewn & {use.name for use in piece.uses}
            for piece in model.pieces.values()
            for layer in piece.layers
        ):
            yield role
