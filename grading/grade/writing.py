"""The grade's document: plain data for JSON, as the reference's section 7 lays it down."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from grading.cut import CutFinding, DrawnPiece, Row
from grading.cut.geometry import Curve, Place
from grading.cut.pieces import value_of
from grading.document.edition import Edition
from grading.document.requests import print_volume
from grading.exact import Enclosure, Ruler
from grading.fit.volume import inside_volume
from grading.grade.grade import Grade
from grading.grade.steps import enclosure_text, first_steps
from grading.model.sizing import asked_lengths

Json = dict[str, Any]

NOT_YET_SEWN = "calculated, not yet sewn"
"""The state of every grade until its edition has been sewn."""

LONGEST_EXACT = 16
"""Characters of an exact length that a person still reads as a number."""


def write_grade(grade: Grade) -> Json:
    """The grade as plain data. Lengths are texts with their unit, exact or within 0.01 mm."""
    model, ruler = grade.model, grade.model.ruler
    text = ruler.text
    volume = inside_volume(model, grade.values)
    return {
        "format": 1,
        "kind": "grade",
        "pattern": model.pattern.name,
        "size": {
            "name": grade.size_name,
            "request": grade.request.model_dump(mode="json", by_alias=True, exclude_none=True),
        },
        **({"options": dict(grade.options)} if grade.options else {}),
        "unit": model.pattern.unit,
        "ruler": str(ruler),
        "state": _state(model.pattern.edition),
        "dimensions": _dimensions(grade),
        "altered": [
            {"path": item.path, "from": text(item.before), "to": text(item.after)} for item in model.alterations
        ],
        "stock": {name: text(value) for name, value in _bought(grade).items()},
        **({} if volume is None else {"volume": print_volume(volume)}),
        "pieces": {name: _piece(drawn, grade) for name, drawn in grade.pieces.items()},
        "seams": {
            name: {
                "join": enclosure_text(ruler, seam.join),
                "to": enclosure_text(ruler, seam.to),
                "ease": enclosure_text(ruler, seam.ease),
            }
            for name, seam in grade.seams.items()
        },
        "coverings": {
            name: {side: text(value) for side, value in clear.items()} for name, clear in grade.clearances.items()
        },
        "cut_list": _cut_list(grade),
        "findings": [_finding(ruler, finding) for finding in grade.findings.values()],
        "steps": list(grade.steps),
        "certificate": {
            **({} if grade.choice.scale is None else {"scale": str(grade.choice.scale)}),
            **({"order": list(grade.choice.order)} if _is_turned(grade) else {}),
            "wish": _rationals(grade.problem.wish),
            "nearest": _rationals(grade.solution.nearest),
            "multipliers": _rationals(grade.solution.multipliers),
        },
    }


def _finding(ruler: Ruler, finding: CutFinding) -> Json:
    worn = finding.worn
    return {
        "name": finding.name,
        "kind": finding.kind,
        "count": finding.count,
        "width": _maybe(ruler.text, finding.width),
        "length": _maybe(ruler.text, finding.length),
        "stock": _maybe(ruler.text, finding.stock),
        "says": finding.says,
    } | (
        {}
        if worn is None
        else {"adjusts": {"least": enclosure_text(ruler, worn[0]), "most": enclosure_text(ruler, worn[1])}}
    )


def _state(edition: Edition | None) -> str:
    return edition.state if edition is not None and edition.is_sewn else NOT_YET_SEWN


def _is_turned(grade: Grade) -> bool:
    """Whether the request left open how the bag is turned in its box."""
    return grade.request.within is not None and grade.request.within.turned == "any"


def _maybe(text: Callable[[Fraction], str], value: Fraction | None) -> str | None:
    return None if value is None else text(value)


def _rationals(values: Mapping[str, Fraction]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}


def _dimensions(grade: Grade) -> Json:
    ruler, request = grade.model.ruler, grade.request
    asked = {name: ruler.text(value) for name, value in asked_lengths(grade.model, request).items()}
    counts = grade.model.draft.counts
    return {
        name: {"asked": None, "nearest": str(counts[name]), "value": str(counts[name])}
        if name in counts
        else {
            "asked": asked.get(name),
            "nearest": _readable(ruler, grade.solution.nearest[name]),
            "value": ruler.text(grade.values[name]),
        }
        for name in grade.model.pattern.dimensions
    }


def _readable(ruler: Ruler, value: Fraction) -> str:
    """A rational as a short exact text where there is one, else as a decimal within 0.01 mm."""
    exact = ruler.text(value)
    is_long = len(exact) > LONGEST_EXACT or ("/" in exact and exact.endswith(" mm"))
    return ruler.near_text(Enclosure(value, value)) if is_long else exact


def _bought(grade: Grade) -> dict[str, Fraction]:
    dimensions = grade.model.pattern.dimensions
    bought = {name: value for name, value in grade.values.items() if dimensions[name].sizing == "stock"}
    for finding in grade.findings.values():
        zip_finding = grade.model.findings[finding.name].written.zip
        if zip_finding is not None and zip_finding.shortened and finding.stock is not None:
            bought[finding.name] = finding.stock
    return bought


def _place(ruler: Ruler, place: Place) -> list[str]:
    return [ruler.text(place[0]), ruler.text(place[1])]


def near_place(ruler: Ruler, place: Place) -> list[str]:
    """A point of a cut line as the grade's document has it: exact, or decimals within 0.01 mm."""
    return [_readable(ruler, coordinate) if _is_short(coordinate) else _near(ruler, coordinate) for coordinate in place]


def _drawn_place(ruler: Ruler, place: Place) -> list[str]:
    """A point of a stitching line: exact but in flats and in the centres of arcs over slanting chords."""
    return [ruler.text(value) if _is_short(value) else _near(ruler, value) for value in place]


def _is_short(value: Fraction) -> bool:
    """Whether a coordinate is an exact one rather than one with a root to 40 digits in it."""
    return value.denominator < 10**12


def _near(ruler: Ruler, value: Fraction) -> str:
    return ruler.near_text(Enclosure(value, value))


def _segment(ruler: Ruler, curve: Curve) -> Json:
    """One segment of a stitching line; what of it is no exact rational is printed as a decimal."""
    segment: Json = {"to": _drawn_place(ruler, curve.end)}
    if curve.centre is not None:
        segment |= {"centre": _drawn_place(ruler, curve.centre), "turns": curve.turn}
    if curve.ellipse:
        axes = (abs(curve.end[0] - curve.start[0]), abs(curve.end[1] - curve.start[1]))
        segment["axes"] = _place(ruler, axes)
    if curve.inner is not None:
        segment["by"] = [_place(ruler, point) for point in curve.inner]
    return segment


def _piece(drawn: DrawnPiece, grade: Grade) -> Json:
    ruler, values, piece = grade.model.ruler, grade.values, drawn.piece
    segments: dict[str, list[Json]] = {}
    for edge, curve in drawn.curves:
        segments.setdefault(edge, []).append(_segment(ruler, curve))
    return {
        "letter": piece.letter,
        "width": ruler.text(drawn.stitched.width),
        "height": ruler.text(drawn.stitched.height),
        "start": _drawn_place(ruler, drawn.curves[0][1].start),
        "edges": {
            edge.name: {
                "length": enclosure_text(ruler, edge.length.enclosure(values)),
                "allowance": ruler.text(piece.allowances[edge.name]),
                "segments": segments[edge.name],
            }
            for edge in piece.outline.edges
        },
        "notches": {
            name: {"edge": notch.edge.name, "at": enclosure_text(ruler, notch.distance.enclosure(values))}
            for name, notch in piece.notches.items()
        },
        "lines": {
            name: {
                "from": _place(ruler, (value_of(line.edge.start.x, values), value_of(line.edge.start.y, values))),
                "to": _place(ruler, (value_of(line.edge.end.x, values), value_of(line.edge.end.y, values))),
                "length": enclosure_text(ruler, line.edge.length.enclosure(values)),
            }
            for name, line in piece.lines.items()
        },
        "cut": [
            {"edge": segment.edge, "start": near_place(ruler, segment.start), "end": near_place(ruler, segment.end)}
            | ({} if segment.centre is None else {"centre": near_place(ruler, segment.centre), "turns": segment.turn})
            | (
                {"through": [near_place(ruler, point) for point in segment.through]}
                if segment.through is not None
                else {}
            )
            for segment in drawn.cut_line
        ],
    }


def _cut_list(grade: Grade) -> list[Json]:
    first = first_steps(grade.model)
    return [_row(grade.model.ruler, row, first.get(row.piece)) for row in grade.cut_list]


def _row(ruler: Ruler, row: Row, step: int | None) -> Json:
    text = ruler.text

    def across(measures: Any) -> Json | None:
        return None if measures is None else {"across": text(measures.across), "along": text(measures.along)}

    strips = row.strips
    return {
        "letter": row.letter,
        "piece": row.piece,
        "layer": row.layer,
        "material": row.material,
        "uses": list(row.uses),
        "count": row.count,
        "mirrored": row.mirrored,
        "kind": "template" if row.is_template else "measures",
        "grain": row.grain,
        "across": text(row.first.across),
        "along": text(row.first.along),
        "allowance": "included" if row.has_allowance else "none",
        "trim": across(row.trim),
        "finished": across(row.finished),
        "on_fold": across(row.on_fold),
        "strips": None
        if strips is None
        else {"count": strips.count, "total": text(strips.total), "joins": strips.joins},
        "step": step,
    }
