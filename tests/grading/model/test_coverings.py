"""Coverings: where a piece comes to lie on another, mirrored or not, pleated or not."""

from __future__ import annotations

from typing import Any

import pytest

from grading.document.requests import BASE
from grading.errors import DocumentFaults
from grading.model import pose
from tests.evaluation import true_value
from tests.patterns import model_of

Json = dict[str, Any]
SIDES = ("left", "right", "top", "bottom")


def laid(covering: Json, *, over_mirrored: bool = False, mirrored: bool = False, corners: Any = None) -> Json:
    """A patch of 60 × 40 on a sheet of 200 × 100; with `corners`, both are rounded there."""

    def outline(width: str, height: str) -> Json:
        if corners is None:
            return {"rectangle": [width, height]}
        return {"rounded_rectangle": {"width": width, "height": height, "corners": corners}}

    return {
        "format": 1,
        "name": "Patch on a sheet",
        "dimensions": {
            name: {"base": base}
            for name, base in {"width": 200, "height": 100, "patch": 60, "tall": 40, "corner": 12}.items()
        },
        "materials": {"main": {}},
        "pieces": {
            "sheet": {
                "uses": [{"name": "sheet", "mirrored": over_mirrored}],
                "outline": outline("width", "height"),
                "layers": [{"material": "main"}],
            },
            "patch": {
                "uses": [{"name": "patch", "mirrored": mirrored}],
                "outline": outline("patch", "tall"),
                "layers": [{"material": "main"}],
            },
        },
        "coverings": {"on": {"piece": "patch", "over": "sheet", **covering}},
    }


def clearances(document: Json) -> tuple[float, ...]:
    """The distances from the four sides at the base size, in mm."""
    model = model_of(document)
    found = model.coverings["on"].clearances
    return tuple(float(true_value(found[side], model.draft.base)) for side in SIDES)


def relations(document: Json) -> dict[str, float]:
    """The covering's relations by the end of their names, with the values of their forms at the base size."""
    model = model_of(document)
    problem = pose(model, BASE)
    return {
        item.id.removeprefix("covering:on:"): float(true_value(item.form, model.draft.base))
        for item in problem.relations
        if item.origin.value == "covering"
    }


@pytest.mark.parametrize(
    ("covering", "wanted"),
    [
        ({"clear": {"left": 20, "top": 30}}, (20, 120, 30, 30)),
        ({"clear": {"right": 20, "bottom": 10}}, (120, 20, 50, 10)),
        ({"clear": {"left": "(width - patch)/2", "top": 0}}, (70, 70, 0, 60)),
        ({"caught": {"left": "left"}, "clear": {"top": 10}}, (0, 140, 10, 50)),
        ({"caught": {"right": "right", "bottom": "bottom"}}, (140, 0, 60, 0)),
        ({"caught": {"top": "top"}, "clear": {"right": 5}}, (135, 5, 0, 60)),
        ({"face": "down", "caught": {"left": "right"}, "clear": {"top": 10}}, (140, 0, 10, 50)),
        ({"face": "down", "clear": {"left": 20, "top": 30}}, (20, 120, 30, 30)),
        ({"caught": {"left": "left"}, "clear": {"top": 10}, "takes_up": {"across": 20}}, (0, 160, 10, 50)),
        ({"clear": {"left": 0, "top": 10}, "takes_up": {"along": 8}}, (0, 140, 10, 58)),
        ({"clear": {"left": 0, "bottom": 10}, "takes_up": {"along": 8}}, (0, 140, 58, 10)),
    ],
)
def test_a_patch_lies_where_it_is_caught_or_placed(covering: Json, wanted: tuple[float, ...]) -> None:
    assert clearances(laid(covering)) == wanted


@pytest.mark.parametrize(("over_mirrored", "mirrored"), [(True, True), (True, False), (False, True), (False, False)])
def test_mirrored_uses_are_seen_mirrored(over_mirrored: bool, mirrored: bool) -> None:
    # Seen from the right side, a mirrored piece has its drawn left on the right.
    covering = {"caught": {"left": "left"}, "clear": {"top": 10}}
    if over_mirrored and mirrored:
        wanted = (140.0, 0.0, 10.0, 50.0)
    elif over_mirrored:
        wanted = (200.0, -60.0, 10.0, 50.0)
    elif mirrored:
        wanted = (-60.0, 200.0, 10.0, 50.0)
    else:
        wanted = (0.0, 140.0, 10.0, 50.0)
    assert clearances(laid(covering, over_mirrored=over_mirrored, mirrored=mirrored)) == wanted


def test_a_mirrored_piece_face_down_is_as_drawn() -> None:
    covering = {"caught": {"left": "left"}, "clear": {"top": 10}}
    down = laid({**covering, "face": "down"}, mirrored=True)
    assert clearances(down) == clearances(laid(covering))


@pytest.mark.parametrize(
    ("covering", "wanted"),
    [
        ({"clear": {"left": 20, "top": 30}}, {"clear:right": 120, "clear:bottom": 30}),
        ({"clear": {"left": 20, "right": 120, "top": 30}}, {"clear:right": 0, "clear:bottom": 30}),
        ({"clear": {"left": 20, "top": 30, "bottom": {"at_least": 25}}}, {"clear:right": 120, "clear:bottom": 5}),
        (
            {"caught": {"left": "left", "right": "right"}, "clear": {"top": 30}},
            {
                "caught:left:from": 30,
                "caught:right": -140,
                "caught:right:from": 30,
                "clear:bottom": 30,
            },
        ),
        (
            {"caught": {"left": "left", "bottom": "bottom"}},
            {
                "caught:left:to": 60,
                "caught:bottom:to": 140,
                "clear:right": 140,
                "clear:top": 60,
            },
        ),
    ],
)
def test_what_is_not_used_to_place_it_becomes_a_relation(covering: Json, wanted: dict[str, float]) -> None:
    found = relations(laid(covering))
    assert {name: value for name, value in found.items() if name in wanted} == wanted
    # Constants that hold (the ends of caught edges that lie where they are placed) are no relations.
    assert set(found) - set(wanted) <= {"caught:left:to", "caught:right:to", "caught:left:from", "caught:bottom:from"}


def test_a_rounded_corner_lies_in_a_rounded_corner() -> None:
    corners = {"bottom_left": "corner"}
    document = laid({"caught": {"bottom_left": "bottom_left"}}, corners=corners)
    assert clearances(document) == (0, 140, 60, 0)
    assert relations(document) == {
        "caught:bottom_left:end:across": 0,
        "caught:bottom_left:end:along": 0,
        "clear:right": 140,
        "clear:top": 60,
    }


def test_a_corner_seen_mirrored_lies_in_the_opposite_corner() -> None:
    corners = {"bottom_left": "corner", "bottom_right": "corner"}
    document = laid({"face": "down", "caught": {"bottom_left": "bottom_right"}}, corners=corners)
    assert clearances(document) == (140, 0, 60, 0)


@pytest.mark.parametrize(
    ("covering", "path"),
    [
        ({}, "coverings.on"),
        ({"clear": {"left": 3}}, "coverings.on"),
        ({"clear": {"left": {"at_least": 3}, "top": 3}}, "coverings.on"),
        ({"caught": {"left": "top"}, "clear": {"top": 3}}, "coverings.on.caught.left"),
    ],
)
def test_a_covering_whose_place_is_open_is_a_fault(covering: Json, path: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        model_of(laid(covering))
    assert path in {fault.path for fault in refused.value.faults}
