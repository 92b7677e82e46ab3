"""What is told of a grade's parts when two of them are compared."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.compare.changes import Facts, Value
from grading.compare.texts import exactly, shown
from grading.cut import DrawnPiece, Row
from grading.cut.geometry import Curve
from grading.grade import Grade
from grading.model.outline import Point


def dimension_facts(grade: Grade) -> Facts:
    """The dimensions as given."""
    counts = grade.model.draft.counts
    return {
        name: counts[name] if name in counts else exactly(grade.values[name]) for name in grade.model.pattern.dimensions
    }


def piece_facts(grade: Grade) -> dict[str, Facts]:
    """Each piece: how each of its layers is cut, then its edges, notches and lines."""
    return {name: {**_cut(grade, name), **_drawn(grade, drawn)} for name, drawn in grade.pieces.items()}


def outline_texts(grade: Grade) -> dict[str, str]:
    """The outline of each piece as its points in order, with what tells how it is curved."""
    ruler = grade.model.ruler

    def place(point: tuple[Fraction, Fraction]) -> str:
        return ", ".join(shown(ruler, exactly(coordinate)) for coordinate in point)

    def point(curve: Curve) -> str:
        bent = [curve.turn] if curve.turn else []
        bent += ["ellipse"] if curve.ellipse else []
        bent += [f"rise {shown(ruler, exactly(curve.rise))}"] if curve.rise is not None else []
        bent += [f"by ({place(inner)})" for inner in curve.inner or ()]
        return f"({', '.join([place(curve.end), *bent])})"

    return {name: " ".join(point(curve) for _, curve in drawn.curves) for name, drawn in grade.pieces.items()}


def seam_facts(grade: Grade) -> dict[str, Facts]:
    """Each seam: the lengths of its sides and its ease."""
    return {name: {"join side": seam.join, "to side": seam.to, "ease": seam.ease} for name, seam in grade.seams.items()}


def covering_facts(grade: Grade) -> dict[str, Facts]:
    """Each covering: its distances from the sides of what it lies on."""
    return {
        name: {f"from the {side}": exactly(value) for side, value in sides.items()}
        for name, sides in grade.clearances.items()
    }


def finding_facts(grade: Grade) -> dict[str, Facts]:
    """Each finding: what it is, its measures, and, for a binding cut from cloth, how its strip is cut."""
    found: dict[str, Facts] = {}
    for finding in grade.findings.values():
        lengths = {"width": finding.width, "length": finding.length, "bought": finding.stock}
        found[finding.name] = {
            "kind": finding.kind,
            "count": finding.count,
            **{key: exactly(value) for key, value in lengths.items() if value is not None},
            **({"what": finding.says} if finding.says else {}),
            **_cut(grade, finding.name),
        }
    return found


def _cut(grade: Grade, name: str) -> dict[str, Value]:
    facts: dict[str, Value] = {}
    for row in grade.cut_list:
        if row.piece == name:
            facts |= {f"{row.layer} {what}": value for what, value in _row(row)}
    return facts


def _row(row: Row) -> Iterator[tuple[str, Value]]:
    yield "across", exactly(row.first.across)
    yield "along", exactly(row.first.along)
    for what, measures in (("trimmed", row.trim), ("on the fold", row.on_fold)):
        if measures is not None:
            yield f"{what} across", exactly(measures.across)
            yield f"{what} along", exactly(measures.along)
    if row.strips is not None:
        yield "strips", row.strips.count
        yield "strips in all", exactly(row.strips.total)
    yield "count", row.count
    if row.mirrored:
        yield "mirrored", row.mirrored
    yield "material", row.material
    yield "grain", row.grain
    yield "cut by", "template" if row.is_template else "measures"


def _drawn(grade: Grade, drawn: DrawnPiece) -> dict[str, Value]:
    piece, values = drawn.piece, grade.values
    facts: dict[str, Value] = {
        "finished width": exactly(drawn.stitched.width),
        "finished height": exactly(drawn.stitched.height),
    }

    def place(name: str, point: Point) -> None:
        box = piece.outline.box
        facts[f"{name} from the left"] = (point.x - box.left).enclosure(values)
        facts[f"{name} from the top"] = (box.top - point.y).enclosure(values)

    for edge in piece.outline.edges:
        facts[f"edge {edge.name}"] = edge.length.enclosure(values)
        facts[f"allowance of {edge.name}"] = exactly(piece.allowances[edge.name])
    for name, notch in piece.notches.items():
        facts[f"notch {name} along {notch.edge.name}"] = notch.distance.enclosure(values)
    for name, line in piece.lines.items():
        place(f"start of line {name}", line.edge.start)
        place(f"end of line {name}", line.edge.end)
    return facts
