"""Rows of supplies: what there is to buy of each finding, those that are one thing to buy together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from grading.verify.cloth.purchase import cost
from grading.verify.cutting.cut_list import CLOSE, raised_length
from grading.verify.document.findings import Finding
from grading.verify.document.pattern import Pattern
from grading.verify.document.sides import Entry
from grading.verify.exact.enclosures import Enclosure, added, scaled
from grading.verify.exact.forms import ZERO
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import Ruler, raise_to
from grading.verify.exact.points import Point
from grading.verify.printing.expected import Expected
from grading.verify.printing.leaves import Same, Words
from grading.verify.supplies.supply_settings import SupplySettings

NOTHING: Enclosure = (Fraction(0), Fraction(0))


@dataclass(frozen=True)
class SupplyRows:
    """Builds the rows of findings at the printed size; leaves are judged as lengths, not as texts."""

    expected: Expected
    settings: SupplySettings

    @property
    def pattern(self) -> Pattern:
        """The pattern drawn for the request."""
        return self.expected.pattern

    @property
    def point(self) -> Point:
        """The printed size."""
        return self.expected.point

    @property
    def ruler(self) -> Ruler:
        """The ruler of the grade."""
        return self.pattern.ruler

    def all(self) -> Iterator[dict[str, Any]]:
        """Yield the rows in order."""
        groups: dict[tuple[Any, ...], list[Finding]] = {}
        for finding in self.pattern.findings.values():
            groups.setdefault(self._one_thing(finding), []).append(finding)
        for findings in groups.values():
            first = findings[0]
            if first.kind == "zip":
                yield from self._zip(first)
            elif first.kind == "hardware":
                yield self._hardware(findings)
            elif first.is_cut_from_cloth:
                yield self._from_cloth(first)
            else:
                yield self._by_length(findings)

    def _one_thing(self, finding: Finding) -> tuple[Any, ...]:
        """Return what tells things to buy apart."""
        if finding.kind == "zip" or finding.is_cut_from_cloth:
            return finding.kind, finding.name
        width = None if finding.width is None else self.point.enclosure(finding.width)
        return finding.kind, finding.what, width, finding.price

    def _row(self, findings: Sequence[Finding], **parts: Any) -> dict[str, Any]:
        first = findings[0]
        names = [finding.name for finding in findings]
        plain = {
            "name": first.name,
            "kind": first.kind,
            "findings": names,
            "says": Words(),
            "count": sum(finding.count for finding in findings),
            "width": None if first.width is None else self._length(self.point.enclosure(first.width)),
            "each": None,
            "total": None,
            "buy": {"what": Words()},
            "waste": None,
            "steps": self._steps(names),
        }
        return plain | parts

    def _length(self, value: Enclosure) -> Same:
        return Same(value, self.ruler)

    def _exact(self, value: Fraction) -> Same:
        return Same((value, value), self.ruler)

    def _steps(self, names: Sequence[str]) -> list[int]:
        return [
            number
            for number, step in enumerate(self.pattern.steps, 1)
            if any(name in step.uses or name in step.binds for name in names)
            or any(
                entry.use.name in names
                for seam in step.makes
                for entry in (*self.pattern.seams[seam].join, *self.pattern.seams[seam].to)
                if entry.use.piece is None
            )
        ]

    def _zip(self, finding: Finding) -> Iterator[dict[str, Any]]:
        length = self.point.enclosure(finding.cut or ZERO)
        stock = self.expected.bought(finding) or Fraction(0)
        parts: dict[str, Any] = {
            "each": self._length(length),
            "total": self._length(scaled(length, Fraction(finding.count))),
            "buy": {"what": Words(), "length": self._exact(stock), "count": finding.count},
        }
        if finding.shortened:
            parts["waste"] = self._exact((stock - length[0]) * finding.count)
        if finding.price is not None:
            per = finding.price.per
            parts["cost"] = cost(finding.price, finding.count * (Fraction(1) if per is None else stock / per))
        yield self._row([finding], **parts)
        if finding.sliders > 1:
            count = finding.sliders * finding.count
            buy = {"what": Words(), "count": count - finding.count}
            name = f"{finding.name} slider"
            yield self._row([finding], name=name, kind="slider", count=count, width=None, buy=buy)

    def _hardware(self, findings: Sequence[Finding]) -> dict[str, Any]:
        count = sum(finding.count for finding in findings)
        parts: dict[str, Any] = {"buy": {"what": Words(), "count": count}}
        price = findings[0].price
        if price is not None and price.per is None:
            parts["cost"] = cost(price, Fraction(count))
        return self._row(findings, **parts)

    def _from_cloth(self, finding: Finding) -> dict[str, Any]:
        length = raised_length(finding, self.point, self.ruler.step)
        total = scaled(length, Fraction(finding.count))
        return self._row([finding], each=self._length(length), total=self._length(total))

    def _by_length(self, findings: Sequence[Finding]) -> dict[str, Any]:
        lengths = [self._cut(finding) for finding in findings]
        total = NOTHING
        for finding, length in zip(findings, lengths, strict=True):
            total = added(total, scaled(length, Fraction(finding.count)))
        bought = raise_to(total[1] if total[0] == total[1] else total[1] - CLOSE, self.settings.unit)
        parts: dict[str, Any] = {
            "each": self._length(lengths[0]) if len(set(lengths)) == 1 else None,
            "total": self._length(total),
            "buy": {"what": Words(), "length": self._exact(bought)},
            "waste": self._length((bought - total[1], bought - total[0])),
        }
        price = findings[0].price
        if price is not None and price.per is not None:
            parts["cost"] = cost(price, bought / price.per)
        return self._row(findings, **parts)

    def _cut(self, finding: Finding) -> Enclosure:
        """Return what is cut of it, raised where it has to be, with what mitred corners of a binding take."""
        length = raised_length(finding, self.point, self.ruler.step)
        corners = self.settings.corner * mitred_corners(finding.along)
        return length[0] + corners, length[1] + corners


def mitred_corners(along: Sequence[Entry]) -> int:
    """Return at how many corners a binding that goes along these edges is folded to a mitre."""
    pairs = list(pairwise(along))
    if len(along) > 2:
        pairs.append((along[-1], along[0]))
    return sum(_meet_at_a_corner(first, second) for first, second in pairs)


def _meet_at_a_corner(first: Entry, second: Entry) -> bool:
    if first.use is not second.use or not (_is_whole_line(first) and _is_whole_line(second)):
        return False
    starts, ends = first.use.outline.corners_of(first.name), second.use.outline.corners_of(second.name)
    if not (starts[1] == ends[0] or starts[0] == ends[1]):
        return False
    return not _runs_on(first, second)


def _is_whole_line(entry: Entry) -> bool:
    if entry.is_line or entry.start is not None or entry.end is not None:
        return False
    flat = entry.use.outline.flat
    if flat is not None:
        return entry.name in {"left", "right"}
    segments = entry.use.outline.edges[entry.name].segments
    return len(segments) == 1 and segments[0].is_line


def _runs_on(first: Entry, second: Entry) -> bool:
    """Whether both are one straight line, whatever the size or at least at the base size."""
    outline = first.use.outline
    if outline.flat is not None:
        return False
    (ux, uy), (vx, vy) = (
        tuple(outline.base.rational(part) for part in outline.edges[entry.name].segments[0].reach)
        for entry in (first, second)
    )
    return ux * vy == uy * vx and ux * vx + uy * vy > 0
