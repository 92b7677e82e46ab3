"""What makes a place thinner, each with the thickness that is left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.supplies.layering import HEM_LAYERS, Layering
from grading.supplies.places import Place, PlaceKind, Remedy
from grading.supplies.plies import Plies
from grading.supplies.rows import words
from grading.supplies.settings import SupplySettings
from grading.supplies.sewing import BINDING_LAYERS

TAPE_LAYERS = 2
"""A tape that is folded once round an edge lies on both of its sides."""


@dataclass(frozen=True)
class Found:
    """A place that was found, with other ways to make it: what to do, and what then lies there.

    `in_allowance` tells whether all of it lies in allowances, and not inside a piece.
    """

    name: str
    kind: PlaceKind
    where: str
    plies: Plies
    ways: tuple[tuple[str, Plies], ...] = ()
    in_allowance: bool = True


def place_of(layers: Layering, found: Found, settings: SupplySettings) -> Place:
    """The place as it is told, with remedies where it is thicker than the machine can sew: the best first."""
    thick = layers.thickness(found.plies)
    over = thick - settings.lift if thick > settings.lift else None
    return Place(
        name=found.name,
        kind=found.kind,
        where=found.where,
        plies=found.plies,
        thickness=thick,
        over=over,
        remedies=() if over is None else tuple(_remedies(layers, thick, [*_without_foam(layers, found), *found.ways])),
    )


def _remedies(layers: Layering, thick: Fraction, ways: Iterable[tuple[str, Plies]]) -> list[Remedy]:
    left = [Remedy(says, layers.thickness(plies)) for says, plies in ways]
    return sorted((remedy for remedy in left if remedy.thickness < thick), key=lambda remedy: remedy.thickness)


def _without_foam(layers: Layering, found: Found) -> Iterator[tuple[str, Plies]]:
    materials = layers.grade.model.pattern.materials
    foams = [role for role in found.plies if role in materials and materials[role].kind == "foam"]
    if foams and found.in_allowance:
        named = " and ".join(words(role) for role in foams)
        yield (
            f"trim the {named} out of the allowance, or give it an inset, so that it ends inside the stitching line",
            {role: count for role, count in found.plies.items() if role not in foams},
        )


def hem_ways(layers: Layering, fate: str, once: Plies) -> Iterator[tuple[str, Plies]]:
    """What a hem could be in place of a folded one; `once` is what lies there unfolded."""
    if HEM_LAYERS[fate] > HEM_LAYERS["hemmed once"]:
        turned_once = {role: count * HEM_LAYERS["hemmed once"] for role, count in once.items()}
        yield "overcast the edge and turn it once in place of twice", turned_once
    binding = _thinnest_cloth(layers)
    if binding is not None:
        bound = {**once, binding: once.get(binding, 0) + BINDING_LAYERS}
        yield f"bind the edge, say with the {words(binding)}, in place of folding it", bound


def _thinnest_cloth(layers: Layering) -> str | None:
    """The thinnest cloth whose thickness is known; most like to be what bindings are cut from."""
    materials: Mapping[str, Fraction] = {
        role: layers.thickness({role: 1})
        for role, material in layers.grade.model.pattern.materials.items()
        if material.kind == "cloth" and material.thickness is not None
    }
    return min(materials, key=lambda role: materials[role], default=None)


def binding_ways(layers: Layering, around: Plies, material: str | None) -> Iterator[tuple[str, Plies]]:
    """Less bulky ways to bind; `around` is what is bound."""
    binding = {} if material is None else {material: BINDING_LAYERS}
    thickest = sorted(
        (role for role, count in around.items() for _ in range(count)),
        key=lambda role: layers.thickness({role: 1}),
        reverse=True,
    )[:2]
    graded = dict(binding)
    for role in thickest:
        graded[role] = graded.get(role, 0) + 1
    yield "grade the seam before it is bound: leave two layers at full width, and trim the others to half", graded
    if material is not None:
        tape = {**around, material: around.get(material, 0) + TAPE_LAYERS}
        yield (
            f"bind with a single fold of the {words(material)}, its edges pinked or on the bias, in place of double",
            tape,
        )
