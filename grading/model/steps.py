"""Measures in the texts of steps: what {side.length} or {pocket.top.allowance} stand for."""

from __future__ import annotations

from grading.document.steps import MEASURE
from grading.form import Form, length
from grading.model.model import Model


def measure(model: Model, path: str) -> Form | None:
    """The form that a measure's path stands for; None if it leads nowhere."""
    match path.strip().split("."):
        case [name] if name in model.draft.base:
            return Form({name: length(1).constant})
        case [name, key] if name in model.draft.index.uses or name in model.pieces:
            return _of_piece(model, name, key)
        case [name, edge, key] if name in model.draft.index.uses or name in model.pieces:
            return _of_edge(model, name, edge, key)
        case [name, "length"] if name in model.seams:
            return model.seams[name].join_length
        case [name, "clear", side] if name in model.coverings:
            return model.coverings[name].clearances.get(side)
        case [name, "length"] if name in model.findings:
            return model.findings[name].length
        case [name, "width"] if name in model.findings:
            return model.findings[name].width
    return None


def unknown_measures(model: Model) -> list[tuple[int, str]]:
    """The step (from 0) and the path of each measure that leads nowhere."""
    return [
        (number, match["path"])
        for number, step in enumerate(model.pattern.steps)
        for match in MEASURE.finditer(step.text)
        if match["path"] is not None
        and match["path"].strip() not in model.draft.counts
        and measure(model, match["path"]) is None
    ]


def _piece_named(model: Model, name: str) -> str:
    use = model.draft.index.uses.get(name)
    return name if use is None else use.piece


def _of_piece(model: Model, name: str, key: str) -> Form | None:
    box = model.pieces[_piece_named(model, name)].outline.bounds
    return None if box is None else {"width": box.width, "height": box.height}.get(key)


def _of_edge(model: Model, name: str, edge: str, key: str) -> Form | None:
    piece = model.pieces[_piece_named(model, name)]
    if edge not in piece.outline.by_name:
        return None
    if key == "allowance":
        return length(piece.allowances[edge])
    return piece.outline.by_name[edge].length if key == "length" else None
