"""Findings in numbers: the lengths they are cut to, and what is bought for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.cut.pieces import value_of
from grading.exact import Enclosure
from grading.model.findings import Finding
from grading.model.model import Model

RAISED = frozenset({"elastic", "binding"})
"""Kinds of finding whose length is raised to the ruler: there is always some to spare."""


@dataclass(frozen=True)
class CutFinding:
    """A finding at one size; lengths in mm, on the ruler where it is cut to measure.

    `worn` is the least and the greatest length of a strap that adjusts.
    """

    name: str
    kind: str
    count: int
    width: Fraction | None
    length: Fraction | None
    stock: Fraction | None
    material: str | None
    says: str
    worn: tuple[Enclosure, Enclosure] | None = None


def cut_findings(model: Model, values: Mapping[str, Fraction]) -> dict[str, CutFinding]:
    """All findings at the printed dimensions."""
    return {name: _cut(model, finding, values) for name, finding in model.findings.items()}


def _cut(model: Model, finding: Finding, values: Mapping[str, Fraction]) -> CutFinding:
    written = finding.written
    length = _length(model, finding, values)
    stock = None
    if written.zip is not None and length is not None:
        stock = next((value for value in finding.stock if value >= length), None) if written.zip.shortened else length
    says = written.says
    if written.hardware is not None:
        says = f"{written.hardware.what}: {says}" if says else written.hardware.what
    return CutFinding(
        name=finding.name,
        kind=written.kind,
        count=written.count,
        width=None if finding.width is None else value_of(finding.width, values),
        length=length,
        stock=stock,
        material=None if written.binding is None else written.binding.material,
        says=says,
        worn=None if finding.worn is None else (finding.worn[0].enclosure(values), finding.worn[1].enclosure(values)),
    )


def _length(model: Model, finding: Finding, values: Mapping[str, Fraction]) -> Fraction | None:
    """The length as cut, or, of a zip that is not shortened, as bought."""
    if finding.length is None:
        return None
    true = finding.length.enclosure(values)
    return model.ruler.raised(true.low) if finding.written.kind in RAISED else true.low
