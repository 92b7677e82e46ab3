"""A rectangle in two, joined by a seam; everything that named it names its parts from now on."""

from __future__ import annotations

from grading.document.expressions import ExpressionFault
from grading.document.pattern import Pattern
from grading.form import Form
from grading.substitute.apart import refuse
from grading.substitute.changes import SplitChange
from grading.substitute.contents import contents_as_rules
from grading.substitute.division import Division, Naming, divide
from grading.substitute.layers import Json
from grading.substitute.laying import Laying
from grading.substitute.measures import Measures
from grading.substitute.names import check_new
from grading.substitute.parts import Parts
from grading.substitute.references import Guard, NewEdge, References, Renaming
from grading.substitute.steps import about, insert_step
from grading.substitute.texts import Writer
from grading.substitute.words import words


def split_piece(
    document: Json, pattern: Pattern, change: SplitChange, naming: Naming | None = None, *, on_both: bool = False
) -> Division:
    """Divide a piece, in place; `pattern` is the document as read. Raises Refused.

    `naming` names the parts and their uses; with `on_both` what lies across the split lies on both parts.
    """
    division, drawing, writer = divide(document, pattern, change, naming)
    try:
        _split(document, division, Laying(document, division, drawing, writer, on_both))
    except ExpressionFault as broken:
        said = f"a place counted anew would be too long to write: {broken.problem}"
        raise refuse("at", said, "use a simpler place") from None
    return division


def split_words(division: Division, change: SplitChange) -> str:
    """What a split has done."""
    parts = " and ".join(words(part) for part in division.parts)
    return f"{words(division.piece)} split into {parts}, {change.at} from the {change.from_}"


def _split(document: Json, division: Division, laying: Laying) -> None:
    drawing, writer = laying.drawing, laying.writer
    renaming = Renaming(division.uses, _edges(division), lengths=division.lengths)
    whole = document["pieces"][division.piece]
    step_names = about(document, division.uses)
    matched = "motif" not in whole and _is_matched(document, division)
    parts = Parts(document, division, drawing, writer, renaming)
    contents_as_rules(document, division, drawing, writer)
    References(renaming, drawing, writer).rewrite(document)
    laying.rewrite()
    document["pieces"] = _replaced(document["pieces"], division, parts.pieces)
    _add_seams(document, division, whole, matched)
    for number, guard in enumerate(renaming.guards, start=1):
        _add_rule(document, f"{division.piece}_split_{number}", guard, writer)
    _rewrite_steps(document, division, laying)
    _add_step(document, division, whole, step_names)


def _edges(division: Division) -> dict[tuple[str, str], NewEdge]:
    return {(use, edge): new for use, names in division.uses.items() for edge, new in division.renamed(names).items()}


def _is_matched(document: Json, division: Division) -> bool:
    """Whether a print runs on from this piece to another, so that it has to run on within it."""
    uses = {*division.uses}
    for name, seam in document.get("seams", {}).items():
        if seam.get("match") and name in about(document, uses):
            return True
    return any(
        covering.get("match") and uses & {covering["piece"], covering["over"]}
        for covering in document.get("coverings", {}).values()
    )


def _replaced(pieces: Json, division: Division, parts: tuple[Json, Json]) -> Json:
    new: Json = {}
    for name, piece in pieces.items():
        new |= dict(zip(division.parts, parts, strict=True)) if name == division.piece else {name: piece}
    return new


def _add_seams(document: Json, division: Division, whole: Json, matched: bool) -> None:
    first, second = division.ends[1], division.ends[0]
    for use, name in division.seams.items():
        one, two = division.uses[use]
        seam: Json = {"join": [f"{one}.{first}"], "to": [f"{two}.{second}"]}
        if matched:
            seam["match"] = True
        seam["says"] = f"between the parts of the {words(use)}"
        if whole.get("when"):
            seam["when"] = whole["when"]
        document.setdefault("seams", {})[name] = seam


def _add_rule(document: Json, name: str, guard: Guard, writer: Writer) -> None:
    check_new(document, "rules", name, "names")
    sides = [Form(), Form()]
    if guard.form.is_rational:
        for key, value in guard.form.plain.items():
            sides[value < 0] += Form({key: abs(value)})
    else:
        sides[0] = guard.form
    rule: Json = {"holds": f"{writer.text(sides[0])} >= {writer.text(sides[1])}", "because": guard.because}
    if guard.when:
        rule["when"] = dict(guard.when)
    document.setdefault("rules", {})[name] = rule


def _rewrite_steps(document: Json, division: Division, laying: Laying) -> None:
    added = "height" if division.way == "along" else "width"
    owners = {division.piece: division.parts, **division.uses}
    measures = Measures(
        {name: (parts, added) for name, parts in owners.items()},
        {(name, edge): new for name, parts in owners.items() for edge, new in division.renamed(parts).items()},
        laying.clear,
    )
    for step in document.get("steps", ()):
        step["text"] = measures.rewritten(step["text"])
        if "lays" in step:
            step["lays"] = [new for name in step["lays"] for new in laying.names.get(name, (name,))]


def _add_step(document: Json, division: Division, whole: Json, names: frozenset[str]) -> None:
    each = "each " if len(division.uses) > 1 else "the "
    sides = f"the {division.ends[0]} and the {division.ends[1]}"
    text = f"Join {sides} of {each}{words(division.piece)}, right sides together."
    part = document["pieces"][division.parts[0]]
    if part["edges"].get(division.ends[1], {}).get("finish"):
        text += " Overcast the allowances and press them to one side."
    step: Json = {"action": "sew", "makes": [*division.seams.values()], "text": text}
    if whole.get("when"):
        step["when"] = whole["when"]
    new = {use for pair in division.uses.values() for use in pair}
    insert_step(document, step, names | new | about(document, new) - {*division.seams.values()})
