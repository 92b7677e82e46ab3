"""The expected grade: every number and text that follows from the pattern, the request and the printed dimensions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from grading.verify.cutting.cut_lines import Cut, cut_line, true_box
from grading.verify.cutting.cut_list import Row, Size, cut_list, letter_of, raised_length, stitched_box
from grading.verify.document.coverings import SIDES
from grading.verify.document.findings import Finding, Range
from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Piece
from grading.verify.document.seams import Seam
from grading.verify.document.sides import side_length
from grading.verify.exact.enclosures import Enclosure
from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.geometry.bends import Bow, Oval, Round
from grading.verify.geometry.outlines import Place
from grading.verify.geometry.shapes import Part, Shape, Spot, shape_of
from grading.verify.printing.leaves import Near, OneOf, filled, length_leaf
from grading.verify.printing.measure_texts import measure


@dataclass(frozen=True)
class Expected:
    """Builds the parts of a grade at its printed dimensions."""

    pattern: Pattern
    point: Point
    shapes: Mapping[str, Shape]
    boxes: dict[str, Spot] = field(default_factory=dict)

    def length(self, form: Form) -> Any:
        """Return the leaf of a form's value."""
        if form.is_rational:
            return self.pattern.ruler.printed(self.point.rational(form))
        return length_leaf(self.point.enclosure(form), False, self.pattern.ruler)

    def value(self, value: Enclosure) -> Any:
        """Return the leaf of a value of which it does not matter how it came about."""
        return length_leaf(value, value[0] == value[1], self.pattern.ruler)

    def place(self, place: Place) -> list[Any]:
        """Return the leaves of a point of an outline."""
        return [self.length(place[0]), self.length(place[1])]

    def pieces(self) -> dict[str, Any]:
        """Return the part about pieces; notes the true cut boxes of template pieces."""
        return {
            title: self.piece(piece, letter_of(index))
            for index, (title, piece) in enumerate(self.pattern.pieces.items())
        }

    def piece(self, piece: Piece, letter: str) -> dict[str, Any]:
        """Return what is printed of one piece."""
        shape = self.shapes[piece.name]
        allowances = {edge: self.point.near(item.allowance) for edge, item in piece.treatments.items()}
        cuts, moved = cut_line(shape, allowances)
        if piece.is_template:
            self.boxes[piece.name] = true_box(cuts, moved)
        parts: dict[str, list[Any]] = {}
        for part in shape.parts:
            parts.setdefault(part.edge, []).append(self.flat_segment(part) if piece.is_flat else self.segment(part))
        edges = {
            edge: {
                "length": self.length(item.length),
                "allowance": self.length(piece.treatments[edge].allowance),
                "segments": parts[edge],
            }
            for edge, item in piece.outline.edges.items()
        }
        lines = {
            title: {"from": self.place(line.start), "to": self.place(line.end), "length": self.length(line.length)}
            for title, line in piece.lines.items()
        }
        return {
            "letter": letter,
            **self.box(piece),
            "start": self.near(shape.start) if piece.is_flat else self.spot(shape.start),
            "edges": edges,
            "notches": {
                title: {"edge": notch.edge, "at": self.length(notch.at)} for title, notch in piece.notches.items()
            },
            "lines": lines,
            "cut": [self.cut(item) for item in cuts],
        }

    def box(self, piece: Piece) -> dict[str, Any]:
        """Return the stitched box: as forms, or of a flat its true box raised to the ruler."""
        if not piece.is_flat:
            box = piece.outline.box
            return {"width": self.length(box.width), "height": self.length(box.height)}
        printed = self.pattern.ruler.printed
        width, height = stitched_box(piece, self.point, self.pattern.ruler.step)
        return {"width": printed(width[0]), "height": printed(height[0])}

    def spot(self, spot: Spot) -> list[str]:
        """Return an exact point."""
        printed = self.pattern.ruler.printed
        return [printed(spot[0]), printed(spot[1])]

    def segment(self, part: Part) -> dict[str, Any]:
        """Return where a segment goes."""
        found: dict[str, Any] = {"to": self.spot(part.end)}
        if part.centre is not None:
            # The centre of an arc that is not a quarter is a quotient, and mostly no rational.
            centre = self.near(part.centre) if isinstance(part.bend, Round) else self.spot(part.centre)
            found |= {"centre": centre, "turns": part.turns}
        if isinstance(part.bend, Oval):
            found["axes"] = self.spot((abs(part.reach[0]), abs(part.reach[1])))
        if isinstance(part.bend, Bow):
            found["by"] = [self.spot(part.bend.first), self.spot(part.bend.second)]
        return found

    def flat_segment(self, part: Part) -> dict[str, Any]:
        """Return where a segment of a flat goes, in decimals."""
        found: dict[str, Any] = {"to": self.near(part.end)}
        if part.centre is not None:
            found |= {"centre": self.near(part.centre), "turns": part.turns}
        return found

    def cut(self, cut: Cut) -> dict[str, Any]:
        """Return a stretch of the cut line, in decimals."""
        edge = cut.edges[0] if len(cut.edges) == 1 else OneOf(cut.edges)
        found: dict[str, Any] = {"edge": edge, "start": self.near(cut.start), "end": self.near(cut.end)}
        if cut.centre is not None:
            found |= {"centre": self.near(cut.centre), "turns": cut.turns}
        if cut.through is not None:
            found["through"] = [self.near(spot) for spot in cut.through]
        return found

    def near(self, spot: Spot) -> list[Near]:
        """Return a point in decimals."""
        ruler = self.pattern.ruler
        return [Near(spot[0], ruler), Near(spot[1], ruler)]

    def seam(self, seam: Seam) -> dict[str, Any]:
        """Return the lengths of a seam's sides, and the ease between them."""
        join, to = side_length(seam.join), side_length(seam.to)
        return {"join": self.length(join), "to": self.length(to), "ease": self.length(seam.required_ease)}

    def finding(self, finding: Finding) -> dict[str, Any]:
        """Return the row of a finding."""
        length: Any = None
        if finding.cut is not None:
            if finding.raised:
                length = self.value(raised_length(finding, self.point, self.pattern.ruler.step))
            else:
                length = self.length(finding.cut)
        bought = self.bought(finding)
        return {
            "name": finding.name,
            "kind": finding.kind,
            "count": finding.count,
            "width": None if finding.width is None else self.length(finding.width),
            "length": length,
            "stock": None if bought is None else self.pattern.ruler.printed(bought),
            "says": finding.says,
            **({} if finding.adjusts is None else {"adjusts": self.worn(finding.adjusts)}),
        }

    def worn(self, adjusts: Range) -> dict[str, Any]:
        """Return the range of lengths that a strap is worn at."""
        return {"least": self.length(adjusts.least), "most": self.length(adjusts.most)}

    def bought(self, finding: Finding) -> Fraction | None:
        """Return the length in which a zip is bought: the least in stock that is not too short."""
        if finding.kind != "zip" or finding.stock is None or finding.cut is None:
            return None
        length = self.point.rational(finding.cut)
        if not finding.shortened:
            return length
        return next((value for value in self.pattern.stock[finding.stock] if value >= length), None)

    def stock(self, chosen: Mapping[str, Fraction]) -> dict[str, Any]:
        """Return what was chosen from stock."""
        printed = self.pattern.ruler.printed
        found: dict[str, Any] = {title: printed(value) for title, value in chosen.items()}
        for title, finding in self.pattern.findings.items():
            if finding.kind == "zip" and finding.shortened:
                bought = self.bought(finding)
                found[title] = OneOf(("a zip that is long enough",)) if bought is None else printed(bought)
        return found

    def coverings(self) -> dict[str, Any]:
        """Return the four clearances of each covering."""
        return {
            title: {side: self.length(covering.distance(side)) for side in SIDES}
            for title, covering in self.pattern.coverings.items()
        }

    def steps(self) -> list[Any]:
        """Return the text of each step with its measures."""
        texts = []
        for index, step in enumerate(self.pattern.steps):
            parts: list[Any] = []
            for place, part in enumerate(step.parts):
                if place % 2 == 0:
                    parts.append(part)
                    continue
                found = measure(self.pattern, self.point, part, f"steps.{index}.text")
                parts.append(found if isinstance(found, str) else self.value(found))
            texts.append(filled(parts))
        return texts

    def rows(self) -> list[Row]:
        """Return the rows of the cut list, in document order; pieces must have been built before."""
        return cut_list(self.pattern, self.point, self.boxes)

    def row(self, row: Row) -> dict[str, Any]:
        """Return what is printed of a row of the cut list."""
        strips: Any = None
        if row.strips is not None:
            strips = {"count": row.strips.count, "total": self.value(row.strips.total), "joins": row.strips.joins}
        across, along = self.size(row.size).values()
        return {
            "letter": row.letter,
            "piece": row.piece,
            "layer": row.layer,
            "material": row.material,
            "uses": list(row.uses),
            "count": row.count,
            "mirrored": row.mirrored,
            "kind": row.kind,
            "grain": row.grain,
            "across": across,
            "along": along,
            "allowance": row.allowance,
            "trim": None if row.trim is None else self.size(row.trim),
            "finished": self.size(row.finished),
            "on_fold": None if row.on_fold is None else self.size(row.on_fold),
            "strips": strips,
            "step": row.step,
        }

    def size(self, size: Size) -> dict[str, Any]:
        """Return a size across and along the grain."""
        return {"across": self.value(size[0]), "along": self.value(size[1])}


def expected_at(pattern: Pattern, point: Point) -> Expected:
    """Return the builder of the grade at the printed dimensions."""
    return Expected(pattern, point, {title: shape_of(piece.outline, point) for title, piece in pattern.pieces.items()})
