"""The steps of one size, with the right number in each."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from grading.cut import CutFinding
from grading.document.steps import MEASURE, Step
from grading.exact import Enclosure, Ruler
from grading.model.model import Model
from grading.model.steps import measure


def enclosure_text(ruler: Ruler, enclosure: Enclosure) -> str:
    """A length as a person reads it: exact where it is rational, else within 0.01 mm."""
    return ruler.text(enclosure.low) if enclosure.low == enclosure.high else ruler.near_text(enclosure)


def step_texts(model: Model, values: Mapping[str, Fraction], findings: Mapping[str, CutFinding]) -> tuple[str, ...]:
    """The text of each step with its measures filled in."""

    def filled(match: re.Match[str]) -> str:
        if match["path"] is None:
            return match[0][0]
        name, _, key = match["path"].strip().partition(".")
        if name in model.draft.counts and not key:
            return str(model.draft.counts[name])
        cut = findings[name].length if key == "length" and name in findings and name not in model.seams else None
        if cut is not None:
            return model.ruler.text(cut)
        form = measure(model, match["path"])
        return match[0] if form is None else enclosure_text(model.ruler, form.enclosure(values))

    return tuple(MEASURE.sub(filled, step.text) for step in model.pattern.steps)


def first_steps(model: Model) -> dict[str, int]:
    """The first step (from 1) that uses each piece (through its uses, seams and coverings) or finding."""
    first: dict[str, int] = {}
    for number, step in enumerate(model.pattern.steps, start=1):
        for name in _named_in(model, step):
            use = model.draft.index.uses.get(name)
            first.setdefault(name if use is None else use.piece, number)
    return first


def _named_in(model: Model, step: Step) -> list[str]:
    names = [*step.uses, *step.binds]
    names += [reference.split(".")[0] for reference in step.finishes]
    for seam in step.makes:
        names += [entry.use for entry in (*model.seams[seam].join, *model.seams[seam].to)]
    for covering in step.lays:
        names += [model.coverings[covering].written.piece, model.coverings[covering].written.over]
    return names
