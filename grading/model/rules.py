"""Relations from dimensions, rules, contents and the widths of cloths."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grading.document.contents import Object
from grading.document.requests import Held
from grading.document.rules import COMPARISON
from grading.form import Form, length
from grading.model.cloth import washed_width
from grading.model.cutting import width_across
from grading.model.draft import Draft
from grading.model.pieces import Piece
from grading.model.relation import Origin, Relation, Sense
from grading.model.seams import Parts


def limit_relations(draft: Draft) -> Iterator[Relation]:
    """The limits of each dimension; one without limits is at least 0."""
    for name, dimension in draft.pattern.dimensions.items():
        if name in draft.counts:
            continue
        unknown, path = Form({name: length(1).constant}), f"dimensions.{name}.limits"
        title = dimension.says or name
        if dimension.limits is None:
            says = f"{name} is not below 0"
            yield Relation(
                f"limits:{name}:least",
                Origin.LIMITS,
                unknown,
                Sense.NOT_BELOW,
                says,
                f"{title} is a length",
                f"dimensions.{name}",
            )
            continue
        least, most = (draft.plain_length(value) for value in dimension.limits)
        because = f"the pattern is drafted for {title} from {draft.ruler.text(least)} to {draft.ruler.text(most)}"
        for key, form, says in (
            ("least", unknown - length(least), f"{name} is at least {draft.ruler.text(least)}"),
            ("most", length(most) - unknown, f"{name} is at most {draft.ruler.text(most)}"),
        ):
            yield Relation(f"limits:{name}:{key}", Origin.LIMITS, form, Sense.NOT_BELOW, says, because, path)


def rule_relations(draft: Draft) -> Iterator[Relation]:
    """The designer's rules."""
    for name, rule in draft.pattern.rules.items():
        match, path = COMPARISON.fullmatch(rule.holds), f"rules.{name}.holds"
        if match is None:
            continue
        left, right = (draft.stated(path, match[side].strip()) for side in ("left", "right"))
        form = right - left if match["sign"] == "<=" else left - right
        sense = Sense.EQUAL if match["sign"] == "==" else Sense.NOT_BELOW
        yield Relation(f"rule:{name}", Origin.RULE, form, sense, rule.holds, rule.because, f"rules.{name}")


def content_relations(parts: Parts) -> Iterator[Relation]:
    """What must fit, and the openings that must be wide enough."""
    draft = parts.draft
    for name, content in draft.pattern.contents.items():
        path, because = f"contents.{name}", content.says or name
        if not isinstance(content, Object):
            opening = draft.stated(f"{path}.opening", content.opening)
            least = draft.plain_length(content.least)
            says = f"the opening {content.opening} is at least {draft.ruler.text(least)}"
            yield Relation(
                path.replace(".", ":"), Origin.CONTENTS, opening - length(least), Sense.NOT_BELOW, says, because, path
            )
            continue
        for key, form, says in object_relations(parts, content):
            yield Relation(f"contents:{name}:{key}", Origin.CONTENTS, form, Sense.NOT_BELOW, says, because, path)


def object_relations(parts: Parts, content: Object | Held) -> Iterator[tuple[str, Form, str]]:
    """That an object fits: the aspect, the form that is not below 0, and what it says."""
    draft = parts.draft
    width, height, depth = (draft.plain_length(value) for value in content.object)
    ease, stands_out = draft.plain_length(content.ease), draft.plain_length(content.stands_out)
    text = draft.ruler.text
    if content.in_ in {"bag", None} and draft.pattern.inside is not None:
        room = [draft.stated(f"inside.{number}", value) for number, value in enumerate(draft.pattern.inside)]
        needed = (width + ease, height + ease - stands_out, depth + ease)
        for key, have, need in zip(("across", "along", "deep"), room, needed, strict=True):
            yield key, have - length(need), f"the bag is at least {text(need)} {key} inside"
        return
    box = parts.piece_of(content.in_ or "").outline.box
    need = width + depth + ease
    yield "across", box.width - length(need), f"{content.in_} is at least {text(need)} wide"
    need = height - stands_out
    yield "along", box.height - length(need), f"{content.in_} is at least {text(need)} high"


def cloth_relations(draft: Draft, pieces: Mapping[str, Piece]) -> Iterator[Relation]:
    """That each piece fits the usable width of its cloth; strips may be joined instead."""
    for name, piece in pieces.items():
        if piece.written.strip or piece.outline.flat is not None:
            continue
        for layer in piece.layers:
            usable = washed_width(draft.pattern.materials[layer.material], draft.pattern.unit)
            if usable is None:
                continue
            form = length(usable) - width_across(draft, piece, layer)
            if form.is_constant and form.is_rational and form.constant >= 0:
                continue
            yield Relation(
                f"cloth:{name}:{layer.name}",
                Origin.CLOTH,
                form,
                Sense.NOT_BELOW,
                f"{name} as cut fits across {layer.material}, {draft.ruler.text(usable)} usable",
                "a piece cannot be wider than its cloth unless it may be joined from strips",
                f"pieces.{name}",
            )
