"""What is sewn, how long, how often and through what thickness: seams, bindings, hems, coverings and drawn lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grading.verify.cutting.cut_list import CLOSE
from grading.verify.document.findings import Finding
from grading.verify.document.pattern import Pattern
from grading.verify.document.seams import LOCKSTITCH, Seam
from grading.verify.document.sides import Entry, Side, Use, side_length
from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import raise_to
from grading.verify.exact.points import Point
from grading.verify.unreadable import refuse

# Lengths of what is sewn are put on it from above, in mm; part of the format.
SEWN_STEP = Fraction(10)
FOLDS = {"hemmed once": 2, "hemmed twice": 3}
SEWN_LINES = frozenset({"quilting", "topstitching"})
# A binding is folded double, and lies on both sides of what it binds.
BINDING_LAYERS = 4
DEEPEST = 50

EdgeName = tuple[str, str]


@dataclass(frozen=True)
class Sewn:
    """One thing that is sewn: its class of stitch, how long and how often, and through what thickness, in mm."""

    title: str
    stitch: str
    length: Fraction
    times: int
    thickness: Fraction


class Stitching:
    """Finds what is sewn of a pattern at a size; `tape` is the thickness of a zip's tape in mm."""

    def __init__(self, pattern: Pattern, point: Point, tape: Fraction) -> None:
        self._pattern = pattern
        self._point = point
        self._tape = tape
        self._edges: dict[EdgeName, Seam] = {}
        self._lines: set[EdgeName] = set()
        for seam in pattern.seams.values():
            for entry in (*seam.join, *seam.to):
                if entry.is_line:
                    self._lines.add(_name(entry))
                else:
                    self._edges.setdefault(_name(entry), seam)
        self._bound = {_name(entry) for finding in pattern.findings.values() for entry in finding.along}

    def all(self) -> Iterator[Sewn]:
        """Yield what is sewn, seams first."""
        for seam in self._pattern.seams.values():
            yield Sewn(
                seam.name, seam.stitch, self._raised(side_length(seam.join)), self._times(seam), self._of_seam(seam)
            )
        for finding in self._pattern.findings.values():
            if finding.along:
                length = self._raised(side_length(finding.along))
                thickness = self._of_binding(finding)
                yield Sewn(f"binding {finding.name}", LOCKSTITCH, length, 2 * finding.count, thickness)
        yield from self._hems()
        yield from self._caught()
        yield from self._drawn()

    def _raised(self, form: Form) -> Fraction:
        low, high = self._point.enclosure(form)
        return raise_to(low if low == high else high - CLOSE, SEWN_STEP)

    def _times(self, seam: Seam) -> int:
        if seam.kind == "topstitched":
            return 2
        if seam.kind != "bound":
            return 1
        entries = (*seam.join, *seam.to)
        return 1 if any(not entry.is_line and _name(entry) in self._bound for entry in entries) else 2

    def _hems(self) -> Iterator[Sewn]:
        for use in self._pattern.uses.values():
            if use.piece is None:
                continue
            for edge, treatment in use.piece.treatments.items():
                if treatment.fate in FOLDS and (use.name, edge) not in self._edges:
                    length = self._raised(use.outline.edges[edge].length)
                    yield Sewn(f"hem {use.name}.{edge}", LOCKSTITCH, length, 1, self.of_edge(use, edge))

    def _caught(self) -> Iterator[Sewn]:
        for covering in self._pattern.coverings.values():
            for catch in covering.catches:
                if (covering.over.name, catch.over_name) not in self._edges:
                    length = self._raised(covering.piece.outline.edges[catch.own_name].length)
                    thickness = self.of_edge(covering.over, catch.over_name)
                    yield Sewn(f"caught {covering.name}.{catch.own_name}", LOCKSTITCH, length, 1, thickness)

    def _drawn(self) -> Iterator[Sewn]:
        for use in self._pattern.uses.values():
            if use.piece is None:
                continue
            for title, line in use.piece.lines.items():
                if line.kind in SEWN_LINES and (use.name, title) not in self._lines:
                    length = self._raised(line.length)
                    yield Sewn(f"line {use.name}.{title}", LOCKSTITCH, length, 1, self._of_line(use))

    def _thickness(self, role: str) -> Fraction:
        return self._pattern.head.materials[role].thickness or Fraction(0)

    def of_edge(self, use: Use, edge: str, depth: int = 0) -> Fraction:
        """Return how thick an edge is: its layers, what is caught in it, and the folds of a hem."""
        if use.piece is None:
            return self._tape
        if depth > DEEPEST:
            refuse("lies on itself", f"coverings of {use.name}")
        layers = [layer for layer in use.piece.layers if layer.inset is None]
        total = sum((layer.count * self._thickness(layer.material) for layer in layers), Fraction(0))
        for covering in self._pattern.coverings.values():
            if covering.over is use:
                for catch in covering.catches:
                    if catch.over_name == edge:
                        total += self.of_edge(covering.piece, catch.own_name, depth + 1)
        return total * FOLDS.get(use.piece.treatments[edge].fate or "", 1)

    def _of_line(self, use: Use) -> Fraction:
        layers = () if use.piece is None else use.piece.layers
        return sum((layer.count * self._thickness(layer.material) for layer in layers), Fraction(0))

    def _of_side(self, side: Side) -> Fraction:
        return max(self._of_line(entry.use) if entry.is_line else self.of_edge(entry.use, entry.name) for entry in side)

    def _of_seam(self, seam: Seam) -> Fraction:
        return self._of_side(seam.join) + self._of_side(seam.to)

    def _of_binding(self, finding: Finding) -> Fraction:
        thickest = Fraction(0)
        for entry in finding.along:
            seam = self._edges.get(_name(entry))
            here = self.of_edge(entry.use, entry.name) if seam is None else self._of_seam(seam)
            thickest = max(thickest, here)
        own = Fraction(0) if finding.material is None else self._thickness(finding.material)
        return thickest + BINDING_LAYERS * own


def _name(entry: Entry) -> EdgeName:
    return entry.use.name, entry.name
