"""Dimensions, stock lists, materials, notches and lines that nothing uses."""

from __future__ import annotations

from collections.abc import Iterator

from grading.check.bag import Bag
from grading.check.notes import Note, remark
from grading.document.expressions import names_in
from grading.document.steps import MEASURE
from grading.document.written import written_expressions
from grading.form import Form
from grading.model.pieces import Notch, Piece


def unused_notes(bag: Bag) -> Iterator[Note]:
    """What is written down and then never used; worth a look, since something may have been forgotten."""
    yield from _dimensions(bag)
    yield from _stock(bag)
    yield from _materials(bag)
    measures = _told(bag)
    for piece in bag.model.pieces.values():
        yield from _notches(bag, piece, measures)
        yield from _lines(bag, piece)


def _told(bag: Bag) -> set[str]:
    """Dimensions whose measure some step tells."""
    return {
        match["path"].strip()
        for step in bag.steps
        for match in MEASURE.finditer(step.text)
        if match["path"] is not None
    }


def _dimensions(bag: Bag) -> Iterator[Note]:
    used = _told(bag)
    for _, value in written_expressions(bag.model.pattern):
        used |= set() if value is None else names_in(value)
    for name in bag.model.pattern.dimensions:
        if name not in used:
            yield remark(
                "unused_dimension",
                f"dimensions.{name}",
                f"{name} is a dimension that no piece, finding, rule or step uses",
                "draw something with it, or take it out",
            )


def _stock(bag: Bag) -> Iterator[Note]:
    pattern = bag.model.pattern
    used = {dimension.stock for dimension in pattern.dimensions.values()}
    for finding in pattern.findings.values():
        used.add(getattr(getattr(finding, finding.kind), "stock", None))
    for name in pattern.stock:
        if name not in used:
            yield remark(
                "unused_stock",
                f"stock.{name}",
                f"no dimension and no finding is chosen from the stock list {name}",
                f'name it, as in "sizing": "stock", "stock": "{name}", or take it out',
            )


def _materials(bag: Bag) -> Iterator[Note]:
    pattern = bag.model.pattern
    used = {layer.material for piece in pattern.pieces.values() for layer in piece.layers}
    used |= {f.binding.material for f in pattern.findings.values() if f.binding is not None and f.binding.material}
    for name in pattern.materials:
        if name not in used:
            yield remark(
                "unused_material",
                f"materials.{name}",
                f"no piece and no binding is cut from {name}",
                "cut something from it, or take it out",
            )


def _notches(bag: Bag, piece: Piece, measures: set[str]) -> Iterator[Note]:
    uses = {use.name for use in piece.uses}
    matched = {
        notch
        for seam in bag.model.seams.values()
        for pair in seam.written.notches
        for use, _, notch in (reference.partition(".") for reference in pair)
        if use in uses
    }
    for notch in piece.notches.values():
        if notch.name in matched or _is_told(piece, notch, measures) or _marks_a_place(bag, uses, notch):
            continue
        yield remark(
            "unused_notch",
            f"pieces.{piece.name}.notches.{notch.name}",
            f"no seam matches the notch {notch.name} of {piece.name}, and no step tells what it marks",
            "name it with its partner in the `notches` of a seam, tell its measure in a step, or take it out",
        )


def _marks_a_place(bag: Bag, uses: set[str], notch: Notch) -> bool:
    """Whether it marks an end of its edge, as where a curve begins, or where a part of it begins or ends in a seam."""
    places = [bag.at(Form()), bag.at(notch.edge.length)]
    for use in uses:
        for _, entry in bag.joined.get((use, notch.edge.name), []):
            places += [bag.at(entry.start), bag.at(entry.end)]
    return bag.at(notch.distance) in places


def _is_told(piece: Piece, notch: Notch, measures: set[str]) -> bool:
    written = piece.written.notches[notch.name].at
    return bool(names_in(written) & measures) if written != "middle" else False


def _lines(bag: Bag, piece: Piece) -> Iterator[Note]:
    uses = {use.name for use in piece.uses}
    sewn = {
        entry.edge.name
        for seam in bag.model.seams.values()
        for entry in (*seam.join, *seam.to)
        if entry.is_line and entry.use in uses
    }
    quilted = any(step.action == "quilt" and uses & {*step.uses} for step in bag.steps)
    for name, line in piece.written.lines.items():
        if name in sewn or line.kind not in {"placement", "quilting"} or (line.kind == "quilting" and quilted):
            continue
        what = "no seam is sewn along it" if line.kind == "placement" else "no step quilts the piece"
        yield remark(
            "unused_line",
            f"pieces.{piece.name}.lines.{name}",
            f"the line {name} of {piece.name} is drawn for {line.kind}, and {what}",
            "name it in a seam or a step, give it another kind, or take it out",
        )
