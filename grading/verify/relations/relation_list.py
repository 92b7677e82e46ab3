"""The list of relations that a pattern states for a request, each derived anew from the document."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grading.verify.cutting.cut_box import width_on_cloth
from grading.verify.document.contents import within_relations
from grading.verify.document.coverings import covering_relations
from grading.verify.document.findings import finding_relations
from grading.verify.document.pattern import Pattern
from grading.verify.document.pieces import Piece
from grading.verify.document.seams import seam_relations
from grading.verify.exact.forms import ZERO, Form, constant, diagonal, dimension
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.relations import EQUAL, EXACT, NOT_BELOW, Relation
from grading.verify.geometry.curves import Arc, Ellipse
from grading.verify.geometry.flats import CONE, Flat
from grading.verify.geometry.outlines import Edge, Segment

HALF = Fraction(1, 2)


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
    if piece.outline.flat is not None:
        yield from _flat_relations(piece.name, piece.outline.flat, constant(step))
    for edge in piece.outline.edges.values():
        if edge.segments:
            yield from _edge_relations(piece, edge, constant(step))


def _edge_relations(piece: Piece, edge: Edge, step: Form) -> Iterator[Relation]:
    title = f"outline:{piece.name}:{edge.name}"
    says = f"the {edge.name} of the {piece.name} keeps its way and at least a step"
    segment = edge.segments[0]
    for part, form, least in _reaches(segment, step):
        yield Relation(f"{title}{part}", form, least, NOT_BELOW, EXACT, says)
    if isinstance(segment.curve, Arc):
        rise, chord = segment.curve.rise, _chord(segment)
        yield Relation(f"{title}:rise", rise, step, NOT_BELOW, EXACT, f"{says} of rise")
        says = f"the {edge.name} of the {piece.name} turns by half a circle at most"
        yield Relation(f"{title}:half", chord.times(HALF), rise, NOT_BELOW, EXACT, says)


def _reaches(segment: Segment, step: Form) -> Iterator[tuple[str, Form, Form]]:
    """Yield what an edge reaches across and along, or both in one, and at least how far that must be.

    A curve keeps the way of the line between its ends; a quarter of an ellipse has half axes of a step at least.
    """
    is_ellipse = isinstance(segment.curve, Ellipse)
    measure = segment.measure
    if segment.curve is not None and not is_ellipse:
        measure = next((_kept(segment, axis) for axis in (0, 1) if segment.reach[1 - axis].is_zero), None)
    if measure is not None:
        yield "", measure, step
        return
    for axis, way in enumerate(("across", "along")):
        yield f":{way}", _kept(segment, axis), step if is_ellipse else ZERO


def _kept(segment: Segment, axis: int) -> Form:
    reach = segment.reach[axis]
    return -reach if segment.signs[axis] < 0 else reach


def _chord(segment: Segment) -> Form:
    straight = [_kept(segment, axis) for axis in (0, 1) if segment.reach[1 - axis].is_zero]
    return straight[0] if straight else diagonal(*segment.reach)


def _flat_relations(title: str, flat: Flat, step: Form) -> Iterator[Relation]:
    great, small, *height = flat.measures.values()
    says = f"the {title} is wider at its outer edge than at its inner one"
    yield Relation(f"outline:{title}:outer", great - small, step, NOT_BELOW, EXACT, says)
    yield Relation(f"outline:{title}:inner", small, ZERO, NOT_BELOW, EXACT, f"the {title} has an inner radius")
    if flat.kind == CONE:
        says = f"the cone of the {title} has a height"
        yield Relation(f"outline:{title}:right", height[0], step, NOT_BELOW, EXACT, says)


def _cloth_relations(pattern: Pattern) -> Iterator[Relation]:
    for piece in pattern.pieces.values():
        for layer in piece.layers:
            usable = pattern.head.materials[layer.material].washed_width
            if usable is None or piece.strip or piece.is_flat:
                continue
            says = f"the {piece.name} in {layer.name} is not wider than the cloth"
            width = width_on_cloth(piece, layer, pattern.ruler.step)
            yield Relation(f"cloth:{piece.name}:{layer.name}", constant(usable), width, NOT_BELOW, EXACT, says)
