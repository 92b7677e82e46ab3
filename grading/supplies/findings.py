"""The rows of all findings: those that are one thing to buy go together."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from itertools import chain

from grading.cut import CutFinding
from grading.grade import Grade
from grading.supplies.bands import band_row, cut_binding_row
from grading.supplies.cost import price_of
from grading.supplies.rows import Purchase, SupplyRow, steps_of, words
from grading.supplies.settings import SupplySettings
from grading.supplies.zips import zip_rows


def finding_rows(grade: Grade, settings: SupplySettings) -> tuple[SupplyRow, ...]:
    """A row for each thing to buy, at the place of its first finding in the document."""
    groups: dict[Hashable, list[CutFinding]] = {}
    for finding in grade.findings.values():
        groups.setdefault(_thing(grade, finding), []).append(finding)
    return tuple(chain.from_iterable(_rows(grade, group, settings) for group in groups.values()))


def _thing(grade: Grade, finding: CutFinding) -> Hashable:
    """What makes findings one thing to buy; a zip, and a binding that is cut, stand each by itself."""
    written = grade.model.findings[finding.name].written
    if finding.kind == "zip" or finding.material is not None:
        return finding.name
    what = "" if written.hardware is None else written.hardware.what
    return finding.kind, what, finding.width, price_of(written, grade.model.pattern.unit)


def _rows(grade: Grade, group: Sequence[CutFinding], settings: SupplySettings) -> Iterator[SupplyRow]:
    first = group[0]
    price = price_of(grade.model.findings[first.name].written, grade.model.pattern.unit)
    match first.kind:
        case "zip":
            yield from zip_rows(grade, first, price)
        case "binding" if first.material is not None:
            yield cut_binding_row(grade, first, settings)
        case "webbing" | "elastic" | "binding" as kind:
            yield band_row(grade, kind, group, price, settings)
        case _:
            count = sum(finding.count for finding in group)
            names = tuple(finding.name for finding in group)
            yield SupplyRow(
                name=names[0],
                kind="hardware",
                findings=names,
                says="; ".join(_said(grade, finding, alone=len(group) == 1) for finding in group),
                count=count,
                width=first.width,
                each=None,
                total=None,
                buy=Purchase(_what(grade, first), count=count),
                waste=None,
                steps=steps_of(grade, names),
                cost=None if price is None else price.of_count(count),
            )


def _what(grade: Grade, finding: CutFinding) -> str:
    hardware = grade.model.findings[finding.name].written.hardware
    what = words(finding.name) if hardware is None else hardware.what
    return what if finding.width is None else f"{what}, {grade.model.ruler.text(finding.width)}"


def _said(grade: Grade, finding: CutFinding, *, alone: bool) -> str:
    says = grade.model.findings[finding.name].written.says
    if alone:
        return says
    return f"{finding.count} for {words(finding.name)}" + (f" ({says})" if says else "")
