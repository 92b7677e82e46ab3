"""The part of a piece that a covering hides, split off and cut from a plainer cloth."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace

from grading.document.expressions import ExpressionFault
from grading.document.options import representative_choices, resolve, with_choices
from grading.document.pattern import Pattern
from grading.document.reading import read_pattern
from grading.exact import read_length
from grading.form import Form
from grading.substitute.apart import Drawing, Refused, constant_term, refuse
from grading.substitute.changes import HideChange, SplitChange
from grading.substitute.crossing import Way
from grading.substitute.division import ENDS, REST, Division, Naming, writer_for
from grading.substitute.edges import EdgeDivision, divide_edge
from grading.substitute.layers import Json, check_role, give_layer, kind_of, outer_layer
from grading.substitute.placing import SIDES, TURNED, Placing, placing_of
from grading.substitute.splitting import split_piece
from grading.substitute.words import words

MIDDLE = "middle"
"""How the hidden part is named that lies between two others."""
SEEN_THROUGH = ("mesh", "film")
"""Kinds of material that hide nothing."""


def hide_part(document: Json, pattern: Pattern, change: HideChange) -> str:
    """Split off what a covering hides and give its outer layer to a plainer cloth, in place. Raises Refused."""
    if change.hide not in pattern.coverings:
        known = ", ".join(list(pattern.coverings)[:12]) or "none"
        raise refuse("hide", f"no covering is named {change.hide!r}", f"the document has {known}")
    check_role(document, change.material, kinds=("cloth",))
    _check_hides(document, pattern, change)
    use = pattern.coverings[change.hide].over
    piece = _own_piece(document, pattern, use)
    sides = _hidden_from(document, read_pattern(document), change)
    try:
        hidden = _split_off(document, piece, use, sides, change)
    except Refused as refused:
        raise Refused(
            *(replace(each, path="margin" if each.path == "at" else "hide") for each in refused.faults)
        ) from None
    except ExpressionFault as broken:
        raise refuse(
            "hide", f"the place would be too long to write: {broken.problem}", "split the piece by hand"
        ) from None
    give_layer(document["pieces"][hidden], outer_layer(document, hidden), change.material)
    return f"{words(hidden)}, the part of {words(piece)} that {words(change.hide)} hides, cut from {change.material}"


def _check_hides(document: Json, pattern: Pattern, change: HideChange) -> None:
    covering = pattern.coverings[change.hide]
    owner = {use.name: name for name, piece in pattern.pieces.items() for use in piece.named_uses(name)}
    materials = [layer.material for layer in pattern.pieces[owner[covering.piece]].layers]
    if all(kind_of(document, role) in SEEN_THROUGH for role in materials):
        raise refuse(
            "hide",
            f"{covering.piece} is {kind_of(document, materials[0])}, which hides nothing",
            "name another covering",
        )
    for choices in representative_choices(pattern):
        chosen = resolve(pattern, choices)
        if owner[covering.over] in chosen.pieces and change.hide not in chosen.coverings:
            raise refuse(
                "hide",
                f"{change.hide} is not there{with_choices(pattern, choices)}, and then nothing hides the seam",
                "name a covering that is always there, or make the piece two that are chosen with it",
            )
    below = pattern.pieces[owner[covering.over]].layers[outer_layer(document, owner[covering.over])].material
    if below == change.material:
        raise refuse("material", f"{covering.over} is cut from {below} already", "name a plainer cloth")


def _own_piece(document: Json, pattern: Pattern, use: str) -> str:
    """The piece of a use; of a piece with several uses, a copy of it that has only this one is added, in place."""
    name = next(name for name, each in pattern.pieces.items() if use in {named.name for named in each.named_uses(name)})
    piece = document["pieces"][name]
    written = {each if isinstance(each, str) else each["name"]: each for each in piece.get("uses", ())}
    if len(written) < 2:
        return name
    own = use if use not in document["pieces"] else f"{use}_alone"
    if own in document["pieces"]:
        raise refuse("hide", f"the name {own!r} is taken among the pieces", "make the use a piece of its own first")
    alone = deepcopy(piece)
    alone["uses"] = [written.pop(use)]
    piece["uses"] = [*written.values()]
    pieces: Json = {}
    for each, other in document["pieces"].items():
        pieces |= {each: other, own: alone} if each == name else {each: other}
    document["pieces"] = pieces
    return own


def _hidden_from(document: Json, pattern: Pattern, change: HideChange) -> list[str]:
    """The sides from which the hidden part is split off, one or both of a pair."""
    placing = placing_of(document, pattern, change.hide)
    flush = {
        side
        for side in SIDES
        if (stated := placing.stated(side)) is not None and not stated.is_least and stated.form.is_zero
    }
    _check_corners(placing, flush)
    for own, other in ((ENDS["along"], ENDS["across"]), (ENDS["across"], ENDS["along"])):
        sides = [side for side in own if side not in flush]
        if {*other} <= flush and sides:
            _check_margin(placing, own, len(sides), change)
            return sides
    over, piece = placing.covering["over"], placing.covering["piece"]
    if len(flush) == len(SIDES):
        raise refuse("hide", f"{piece} hides all of {over}", 'give the whole piece to the plainer cloth, with "give"')
    raise refuse(
        "hide",
        f"{piece} does not reach from side to side of {over}, so that no straight seam splits off what it hides",
        "name a covering that reaches from side to side",
    )


def _check_margin(placing: Placing, own: tuple[str, str], count: int, change: HideChange) -> None:
    """The hidden part must be longer than the margins that are left under the covering."""
    box, at_base = placing.outline("over").box, placing.drawing.at_base
    whole = box.height if own == ENDS["along"] else box.width
    hidden = at_base(whole - placing.distances[own[0]] - placing.distances[own[1]])
    margin, text = read_length(change.margin, placing.drawing.draft.pattern.unit), placing.drawing.draft.ruler.text
    if hidden <= count * margin or margin < 0:
        raise refuse(
            "margin",
            f"{change.hide} hides {text(hidden)} at the base size, of which {text(margin)} on {count} side(s) stay",
            f"give a margin below {text(hidden / count)}",
        )


def _check_corners(placing: Placing, flush: set[str]) -> None:
    for edge in placing.outline("piece").edges:
        is_corner = not (edge.first.is_level or edge.first.is_upright)
        if is_corner and edge.name not in placing.caught and {*edge.name.split("_")} <= flush:
            raise refuse(
                "hide",
                f"the corner {edge.name} of {placing.covering['piece']} leaves the one below it in sight",
                "catch the corner, or name another covering",
            )


def _split_off(document: Json, piece: str, use: str, sides: list[str], change: HideChange) -> str:
    """Split from one side, or from both, in place; gives the name of the hidden piece."""
    way: Way = "along" if sides[0] in ENDS["along"] else "across"
    mirrored = placing_of(document, read_pattern(document), change.hide).is_mirrored("over")
    drawn = [TURNED.get(side, side) if mirrored else side for side in sides]
    if len(sides) == 1:
        return _cut(document, (piece, use, change.hide), sides[0], drawn[0], change).parts[_beyond(way, drawn[0])]
    first = _cut(
        document, (piece, use, change.hide), sides[0], drawn[0], change, _naming(piece, use, way, drawn[0], "")
    )
    beyond = _beyond(way, drawn[0])
    rest = (first.parts[beyond], first.uses[use][beyond], f"{change.hide}_{REST}")
    naming = _naming(piece, use, way, drawn[1], rest[1])
    second = _cut(document, rest, sides[1], drawn[1], change, naming)
    for division, end in ((first, drawn[0]), (second, drawn[1])):
        _reword(document, division, f"the {end} and the middle of the {words(piece)}")
    return second.parts[_beyond(way, drawn[1])]


def _beyond(way: Way, drawn: str) -> int:
    """Which part lies beyond the split, seen from this side of the drawing."""
    return 1 - ENDS[way].index(drawn)


def _naming(piece: str, use: str, way: Way, drawn: str, rest: str) -> Naming:
    """The names of the parts of a use from which a part is split off, or of the use `rest` that is left of it."""
    ends = [end if end == drawn else MIDDLE if rest else REST for end in ENDS[way]]
    parts, uses = ((f"{stem}_{ends[0]}", f"{stem}_{ends[1]}") for stem in (piece, use))
    return Naming(parts, {rest or use: uses}, (ends[0], ends[1]), bool(rest))


def _reword(document: Json, division: Division, sides: str) -> None:
    """Name the parts in the steps that join them as they are called in the end."""
    for step in document.get("steps", ()):
        if {*division.seams.values()} & {*step.get("makes", ())}:
            before, _, after = step["text"].partition(", ")
            step["text"] = f"Join {sides}, {after}" if before.startswith("Join ") else step["text"]


def _cut(
    document: Json,
    place: tuple[str, str, str],
    side: str,
    drawn: str,
    change: HideChange,
    naming: Naming | None = None,
) -> Division:
    """Split a piece under its covering, as far from a side as the covering lies, and the margin more."""
    piece, use, covering = place
    pattern = read_pattern(document)
    placing, writer = placing_of(document, pattern, covering), writer_for(pattern)
    margin = constant_term(read_length(change.margin, pattern.unit))
    distance = placing.distances[side] + margin
    box, near = placing.outline("over").box, "top" if side in ENDS["along"] else "left"
    whole = box.height if near == "top" else box.width
    depth = distance if side == near else whole - distance
    while (found := _crossing(document, pattern, use, near, depth)) is not None:
        divide_edge(document, pattern, *found, writer)
        pattern = read_pattern(document)
    split = SplitChange.model_validate({"split": piece, "at": writer.text(distance), "from": drawn})
    return split_piece(document, pattern, split, naming, on_both=True)


def _crossing(
    document: Json, pattern: Pattern, use: str, near: str, depth: Form
) -> tuple[EdgeDivision, Drawing] | None:
    """An edge that is caught on both sides of a split at this depth, and so has to be divided there."""
    owner = {named.name: name for name, piece in pattern.pieces.items() for named in piece.named_uses(name)}
    for name, covering in pattern.coverings.items():
        if covering.over != use:
            continue
        placing = placing_of(document, pattern, name)
        at_base = placing.drawing.at_base
        for own in placing.caught:
            edge = placing.outline("piece").by_name[own]
            if edge.first.is_upright if near == "top" else edge.first.is_level:
                ends = sorted(at_base(each) for each in placing.depths(edge, near))
                if ends[0] < at_base(depth) < ends[1]:
                    point = placing.at_depth(edge, near, depth)
                    return EdgeDivision(owner[covering.piece], edge, point), placing.drawing
    return None
