"""The list of relations that a pattern states for a request, each derived anew from the document."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from grading.verify.contents import within_relations
from grading.verify.coverings import covering_relations
from grading.verify.cut_box import width_on_cloth
from grading.verify.findings import finding_relations
from grading.verify.forms import ZERO, Form, constant, dimension
from grading.verify.outlines import Edge
from grading.verify.pattern import Pattern
from grading.verify.pieces import Piece
from grading.verify.relations import EQUAL, EXACT, NOT_BELOW, Relation
from grading.verify.seams import seam_relations


def all_relations(
    pattern: Pattern, chosen: Mapping[str, Fraction], order: tuple[int, ...] = (0, 1, 2)
) -> list[Relation]:
    """Return every relation, named as in the contract.

    `chosen` gives the stock value of each stock dimension, `order` which sides of the box to stay within lie across,
    along and deep.
    """
    found = [
        *_dimension_relations(pattern, chosen),
        *(item for piece in pattern.pieces.values() for item in _outline_relations(piece, pattern.ruler.step)),
        *(item for seam in pattern.seams.values() for item in seam_relations(seam, pattern.base)),
        *(item for covering in pattern.coverings.values() for item in covering_relations(covering)),
        *pattern.contents,
        *pattern.holds,
        *_within_relations(pattern, order),
        *(
            item
            for finding in pattern.findings.values()
            for item in finding_relations(finding, pattern.ruler.step, pattern.stock)
        ),
        *pattern.rules,
        *_cloth_relations(pattern),
    ]
    return [relation for relation in found if relation.counts]


def _within_relations(pattern: Pattern, order: tuple[int, ...]) -> Iterator[Relation]:
    if pattern.request.within is not None and pattern.outside is not None:
        yield from within_relations(pattern.request.within, pattern.outside, order)


def _dimension_relations(pattern: Pattern, chosen: Mapping[str, Fraction]) -> Iterator[Relation]:
    step = pattern.ruler.step
    for title, given in pattern.head.dimensions.lengths.items():
        form = dimension(title)
        least = f"{title} is not below its least"
        yield Relation(f"limits:{title}:least", form, constant(given.least), NOT_BELOW, EXACT, least)
        if given.most is not None:
            most = f"{title} is not above its most"
            yield Relation(f"limits:{title}:most", constant(given.most), form, NOT_BELOW, EXACT, most)
        if title in pattern.request.asked:
            asked = constant(pattern.request.asked[title])
            yield Relation(f"asked:{title}", form, asked, EQUAL, step, f"{title} is what was asked")
        elif title in pattern.request.kept:
            says = f"{title} is kept at its base"
            yield Relation(f"kept:{title}", form, constant(given.base), EQUAL, step, says)
        elif given.sizing == "fixed":
            says = f"{title} stays as drafted"
            yield Relation(f"fixed:{title}", form, constant(given.base), EQUAL, step, says)
        elif given.sizing == "stock":
            says = f"{title} is the stock size that was chosen"
            yield Relation(f"stock:{title}", form, constant(chosen[title]), EQUAL, EXACT, says)


def _outline_relations(piece: Piece, step: Fraction) -> Iterator[Relation]:
    for edge in piece.outline.edges.values():
        yield from _edge_relations(piece, edge, constant(step))


def _edge_relations(piece: Piece, edge: Edge, step: Form) -> Iterator[Relation]:
    title = f"outline:{piece.name}:{edge.name}"
    says = f"the {edge.name} of the {piece.name} keeps its way and at least a step"
    segment = edge.segments[0]
    measure = segment.measure
    if measure is not None:
        yield Relation(title, measure, step, NOT_BELOW, EXACT, says)
        return
    for way, reach, sign in zip(("across", "along"), segment.reach, segment.signs, strict=True):
        yield Relation(f"{title}:{way}", -reach if sign < 0 else reach, ZERO, NOT_BELOW, EXACT, says)


def _cloth_relations(pattern: Pattern) -> Iterator[Relation]:
    for piece in pattern.pieces.values():
        for layer in piece.layers:
            usable = pattern.head.materials[layer.material].usable_width
            if usable is None or piece.strip:
                continue
            says = f"the {piece.name} in {layer.name} is not wider than the cloth"
            width = width_on_cloth(piece, layer, pattern.ruler.step)
            yield Relation(f"cloth:{piece.name}:{layer.name}", constant(usable), width, NOT_BELOW, EXACT, says)
