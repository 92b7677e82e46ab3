"""Bulk: how thick the layers lie at every seam, crossing, hem and binding, against what the machine can sew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from grading.grade import Grade
from grading.supplies.advice import unknown_thickness
from grading.supplies.finishes import binding_place, hem_places
from grading.supplies.joins import seam_places
from grading.supplies.layering import Layering, layering
from grading.supplies.order import Earlier, Making, making
from grading.supplies.places import Place
from grading.supplies.remedies import Found, place_of
from grading.supplies.rows import words
from grading.supplies.settings import SupplySettings

NOT_COUNTED = "Webbing, elastic, hardware and bought bindings that are caught in a seam are not counted."
TRY = "Layers give under the foot and spread at a fold: sew the thickest place on scraps first."
MOST_TOLD = 5


@dataclass(frozen=True)
class Bulk:
    """The places of one grade at which layers lie on each other, in order of making."""

    grade: Grade
    settings: SupplySettings
    places: tuple[Place, ...]
    says: tuple[str, ...]


def bulk(grade: Grade, settings: SupplySettings) -> Bulk:
    """Add up the layers at every place, as stitched; exact. For people: how cloth gives under the foot is not known."""
    layers = layering(grade, settings.tape)
    places: list[Place] = []
    earlier = Earlier()
    for made in making(grade):
        found = tuple(_found(layers, made, earlier, places, settings))
        places += (place_of(layers, each, settings) for each in found)
        if made.seam is not None:
            earlier.add(made.seam)
    return Bulk(grade, settings, tuple(places), tuple(_says(grade, places, settings)))


def _found(
    layers: Layering, made: Making, earlier: Earlier, places: Sequence[Place], settings: SupplySettings
) -> Iterator[Found]:
    if made.seam is not None:
        yield from seam_places(layers, made, made.seam, earlier, settings.pressed)
    elif made.hem is not None:
        yield from hem_places(layers, made.hem, earlier, settings.pressed)
    elif made.binding is not None:
        yield binding_place(layers, made.binding, places)


def _says(grade: Grade, places: Sequence[Place], settings: SupplySettings) -> Iterator[str]:
    text = grade.model.ruler.text
    thickest = sorted(places, key=lambda place: -place.thickness)[:MOST_TOLD]
    over = [place for place in places if place.over is not None]
    if over:
        places_are = "place is" if len(over) == 1 else "places are"
        yield f"{len(over)} {places_are} thicker than the {text(settings.lift)} that the machine sews."
    elif places:
        yield f"Nothing is thicker than the {text(settings.lift)} that the machine sews."
    for place in thickest:
        more = "" if place.over is None else f", {text(place.over)} more than the machine sews"
        yield f"{words(place.name)}, {place.where}: {text(place.thickness)}{more}"
    yield from unknown_thickness(grade, settings)
    yield NOT_COUNTED
    yield TRY
