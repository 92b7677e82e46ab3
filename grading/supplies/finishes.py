"""The places of hems and bindings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grading.supplies.edges import thickest_on_edge
from grading.supplies.layering import HEM_LAYERS, Layering
from grading.supplies.order import Earlier
from grading.supplies.places import Place
from grading.supplies.plies import Plies, folded, together
from grading.supplies.remedies import Found, binding_ways, hem_ways
from grading.supplies.rows import words
from grading.supplies.settings import Pressed
from grading.supplies.sewing import BINDING_LAYERS, Edges, edges_in

CROSSED = {"apart": 2, "aside": 3}
"""How many times as much lies where a hem crosses a seam: each edge on its allowance, or on both."""


def hem_places(layers: Layering, edge: tuple[str, str], earlier: Earlier, pressed: Pressed) -> Iterator[Found]:
    """A hemmed edge, and where it crosses seams that its neighbours were sewn in before."""
    piece = layers.grade.model.parts.piece_of(edge[0])
    fate, named = piece.settings(edge[1]).fate or "", f"{edge[0]}.{edge[1]}"
    plies = thickest_on_edge(layers, *edge)
    once = {role: count // HEM_LAYERS[fate] for role, count in plies.items()}
    yield Found(named, "hem", fate, plies, tuple(hem_ways(layers, fate, once)))
    beside = _beside(layers, edge)
    crossed = [words(seam.name) for seam in earlier.of(edge[0]) if beside & edges_in((*seam.join, *seam.to))]
    if crossed:
        times = CROSSED[pressed]
        ways = [("trim the allowances away inside the hem", plies), *hem_ways(layers, fate, folded(once, times))]
        yield Found(named, "crossing", f"{fate}, across {' and '.join(crossed)}", folded(plies, times), tuple(ways))


def _beside(layers: Layering, edge: tuple[str, str]) -> Edges:
    """The edges before and after an edge of an outline."""
    edges = [each.name for each in layers.grade.model.parts.piece_of(edge[0]).outline.edges]
    number = edges.index(edge[1])
    return frozenset((edge[0], edges[(number + step) % len(edges)]) for step in (-1, 1))


def binding_place(layers: Layering, name: str, places: Sequence[Place]) -> Found:
    """A binding where what it wraps is thickest: one of the places told before, or one of its edges."""
    finding = layers.grade.model.findings[name]
    edges = edges_in(finding.along)
    seams = {seam.name for seam in layers.grade.model.seams.values() if edges & edges_in((*seam.join, *seam.to))}
    held = [(place.plies, f"{words(place.name)}, {place.where}") for place in places if place.name in seams]
    held += [] if held else [(thickest_on_edge(layers, *edge), f"{edge[0]}.{edge[1]}") for edge in sorted(edges)]
    around, where = max(held, key=lambda each: layers.thickness(each[0]))
    material = None if finding.written.binding is None else finding.written.binding.material
    binding: Plies = {} if material is None else {material: BINDING_LAYERS}
    plies = together(around, binding)
    return Found(name, "binding", f"round {where}", plies, tuple(binding_ways(layers, around, material)))
