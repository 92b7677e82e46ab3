"""Rows of what is bought by the length: webbing, elastic and binding; and of binding that is cut from cloth."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from grading.cut import CutFinding
from grading.exact import print_number, read_number
from grading.grade import Grade
from grading.supplies.cost import Price
from grading.supplies.lengths import raised
from grading.supplies.mitres import mitred_corners
from grading.supplies.rows import Purchase, SupplyRow, steps_of, words
from grading.supplies.settings import SupplySettings

BandKind = Literal["webbing", "elastic", "binding"]


def band_row(
    grade: Grade, kind: BandKind, group: Sequence[CutFinding], price: Price | None, settings: SupplySettings
) -> SupplyRow:
    """The row of findings that are cut from one length of webbing, elastic or bought binding."""
    lengths = [_length(grade, finding, settings) for finding in group]
    total = sum((finding.count * length for finding, length in zip(group, lengths, strict=True)), Fraction(0))
    bought, width = raised(total, settings.unit), group[0].width or Fraction(0)
    names = tuple(finding.name for finding in group)
    return SupplyRow(
        name=names[0],
        kind=kind,
        findings=names,
        says="; ".join(
            _part(grade, finding, length, settings, alone=len(group) == 1)
            for finding, length in zip(group, lengths, strict=True)
        ),
        count=sum(finding.count for finding in group),
        width=width,
        each=lengths[0] if len(set(lengths)) == 1 else None,
        total=total,
        buy=Purchase(f"{kind}, {grade.model.ruler.text(width)} wide", bought),
        waste=bought - total,
        steps=steps_of(grade, names),
        cost=None if price is None else price.of_length(bought),
    )


def cut_binding_row(grade: Grade, finding: CutFinding, settings: SupplySettings) -> SupplyRow:
    """The row of a binding that is cut from a cloth; it buys nothing."""
    length, material = finding.length or Fraction(0), finding.material or ""
    return SupplyRow(
        name=finding.name,
        kind="binding",
        findings=(finding.name,),
        says="; ".join(part for part in (finding.says, _corners(grade, finding, settings)) if part),
        count=finding.count,
        width=finding.width,
        each=length,
        total=length * finding.count,
        buy=Purchase(f"nothing, since it is cut from the {words(material)}"),
        waste=None,
        steps=steps_of(grade, (finding.name,)),
        cost=None,
    )


def _length(grade: Grade, finding: CutFinding, settings: SupplySettings) -> Fraction:
    length = finding.length or Fraction(0)
    return length + mitred_corners(grade, finding.name) * settings.corner if finding.kind == "binding" else length


def _part(grade: Grade, finding: CutFinding, length: Fraction, settings: SupplySettings, *, alone: bool) -> str:
    written, text = grade.model.findings[finding.name].written, grade.model.ruler.text
    parts = [finding.says] if alone and finding.says else []
    parts.append(f"{finding.count} × {text(length)}" + ("" if alone else f" for {words(finding.name)}"))
    if written.elastic is not None and read_number(written.elastic.stretch) != 1:
        parts.append(f"stretched to {print_number(read_number(written.elastic.stretch))} times its length")
    corners = mitred_corners(grade, finding.name)
    if corners and settings.corner:
        parts.append(f"{text(settings.corner)} for each of {corners} mitred corners in it")
    return ", ".join(parts)


def _corners(grade: Grade, finding: CutFinding, settings: SupplySettings) -> str:
    """What the mitred corners of a binding that is cut need, beside what its length has over the edges."""
    corners = mitred_corners(grade, finding.name)
    if not corners or not settings.corner:
        return ""
    binding, text = grade.model.findings[finding.name].written.binding, grade.model.ruler.text
    needed = corners * settings.corner
    join = Fraction(0)
    if binding is not None:
        path = f"findings.{finding.name}.binding.join"
        join = grade.model.draft.rational(path, binding.join).enclosure(grade.values).low
    enough = "is for the join and for them" if join >= needed else "is less than that"
    return f"{corners} mitred corners take {text(needed)}; the {text(join)} that it has over its edges {enough}"
