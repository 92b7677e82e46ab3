"""Bulk: layers counted by hand at seams, crossings, hems and bindings."""

from __future__ import annotations

from typing import Any

import pytest

from grading.exact import read_length
from tests.conftest import DEMO_NAMES
from tests.grading.supplies.bags import band, bulky, places_of
from tests.grading.supplies.test_sewing import bound_band, thick_pouch
from tests.patterns import changed

Json = dict[str, Any]


def layers_of(place: Json) -> dict[str, int]:
    return {layer["material"]: layer["count"] for layer in place["layers"]}


def ring(thickness: str = "1 mm") -> Json:
    """Two pairs of panels joined at their sides and then to each other right round: a seam with two crossings."""
    document = band("200 mm", thickness=thickness)
    document["pieces"] = {
        name: {
            "uses": [f"{name}_front", f"{name}_back"],
            "outline": {"rectangle": ["length", "80 mm"]},
            "edges": {other: {"allowance": 0, "fate": "raw"}},
            "layers": [{"material": "main", "count": count}],
        }
        for name, other, count in (("upper", "top", 1), ("lower", "bottom", 2))
    }
    document["seams"] = {
        f"{name}_{side}": {"join": [f"{name}_front.{side}"], "to": [f"{name}_back.{other}"]}
        for name in ("upper", "lower")
        for side, other in (("left", "right"), ("right", "left"))
    }
    document["seams"]["waist"] = {
        "join": ["upper_front.bottom", "upper_back.bottom"],
        "to": ["lower_front.top", "lower_back.top"],
        "closed": True,
    }
    return document


def test_layers_add_up_at_a_seam() -> None:
    (place,) = places_of(bulky(band("500 mm", thickness="0.75 mm")), "top")
    assert (place["kind"], layers_of(place), place["thickness"]) == ("seam", {"main": 2}, "1.5 mm")
    assert (place["over"], place["remedies"]) == (None, [])


def test_a_seam_is_thickest_where_a_covering_is_caught_in_it() -> None:
    bulk = bulky(thick_pouch())
    (side,) = places_of(bulk, "side", "seam")
    assert layers_of(side) == {"main": 3, "lining": 2}
    (bottom,) = places_of(bulk, "bottom", "seam")
    assert layers_of(bottom) == {"main": 2, "lining": 2}


def test_coverings_that_lie_one_above_the_other_are_not_counted_together() -> None:
    document = thick_pouch()
    document["dimensions"]["height"]["base"] = 180
    document["pieces"]["second"] = document["pieces"]["pocket"]
    document["coverings"]["second_on_front"] = {
        "piece": "second",
        "over": "front",
        "caught": {"left": "left", "right": "right"},
        "clear": {"top": "100 mm"},
    }
    (side,) = places_of(bulky(document), "side", "seam")
    assert layers_of(side)["main"] == 3
    document["coverings"]["second_on_front"]["clear"]["top"] = "60 mm"
    (side,) = places_of(bulky(document), "side", "seam")
    assert layers_of(side)["main"] == 4


def test_what_is_caught_in_what_is_caught_counts_too() -> None:
    document = thick_pouch()
    document["pieces"]["trim"] = {
        "outline": {"rectangle": ["pocket_width", "pocket_height"]},
        "edges": {"top": {"fate": "raw"}, "bottom": {"fate": "raw"}},
        "layers": [{"material": "lining"}],
    }
    document["coverings"]["trim_on_pocket"] = {
        "piece": "trim",
        "over": "pocket",
        "caught": {"left": "left", "right": "right"},
        "clear": {"top": 0},
    }
    (side,) = places_of(bulky(document), "side", "seam")
    assert layers_of(side) == {"main": 3, "lining": 3}


def test_a_seam_crosses_the_allowances_of_earlier_ones() -> None:
    crossings = places_of(bulky(ring()), "waist", "crossing")
    assert len(crossings) == 2
    # Each panel of the upper ring lies on its own allowance (2), each double one of the lower ring too (4).
    assert {place["thickness"] for place in crossings} == {"6 mm"}
    assert {place["where"].split(",")[0] for place in crossings} == {
        "across upper left and lower left",
        "across upper right and lower right",
    }


def test_allowances_pressed_to_one_side_are_thicker_and_turning_them_apart_helps() -> None:
    crossings = places_of(bulky(ring(), {"pressed": "aside"}), "waist", "crossing")
    assert {(place["thickness"], place["over"]) for place in crossings} == {("9 mm", "3 mm")}
    remedies = {remedy["says"]: remedy["thickness"] for remedy in crossings[0]["remedies"]}
    assert {thick for says, thick in remedies.items() if says.startswith("press the allowances")} == {"6 mm"}
    assert {thick for says, thick in remedies.items() if says.startswith("grade")} == {"6 mm"}


def test_an_allowance_that_is_trimmed_away_is_gone() -> None:
    crossing = places_of(bulky(ring("1.5 mm")), "waist", "crossing")[0]
    assert (crossing["thickness"], crossing["over"]) == ("9 mm", "3 mm")
    # Both pairs are of equal cloth, so that only the other allowance of each is left: nothing is won.
    assert crossing["remedies"] == []
    document = ring("1.5 mm")
    for name in ("upper", "lower"):
        document["pieces"][f"{name}_thin"] = {**document["pieces"][name], "uses": [f"{name}_back"]}
        document["pieces"][f"{name}_thin"]["layers"] = [{"material": "thin"}]
        document["pieces"][name]["uses"] = [f"{name}_front"]
    document["materials"]["thin"] = {"thickness": "0.25 mm"}
    crossing = places_of(bulky(document), "waist", "crossing")[0]
    assert [remedy["thickness"] for remedy in crossing["remedies"]] == ["4.5 mm"]


def test_a_seam_that_comes_first_crosses_nothing() -> None:
    assert [place["kind"] for place in places_of(bulky(ring()), "upper_left")] == ["seam"]


def test_a_hem_is_folded_and_crosses_the_seams_that_are_made_before_it() -> None:
    hems_first = bulky(thick_pouch())
    (hem,) = places_of(hems_first, "front.top")
    assert (hem["kind"], hem["thickness"]) == ("hem", "3.75 mm")
    # The side seams run over both hems, three layers each, and not over the pocket there.
    over_hems = places_of(hems_first, "side", "crossing")
    assert [(place["where"], place["thickness"]) for place in over_hems] == [
        ("over the hem of front.top and back.top", "7.5 mm")
    ]
    document = thick_pouch()
    document["steps"] = [document["steps"][place] for place in (1, 2, 3, 0)]
    seams_first = bulky(document)
    assert places_of(seams_first, "side", "crossing") == []
    hem, crossing = places_of(seams_first, "front.top")
    assert (hem["thickness"], crossing["thickness"]) == ("3.75 mm", "7.5 mm")
    assert crossing["where"] == "hemmed twice, across side and side 2"


def test_a_hem_can_be_turned_once_or_bound() -> None:
    hem, *_ = places_of(bulky(thick_pouch(), {"lift": "3 mm"}), "front.top")
    assert hem["over"] == "0.75 mm"
    remedies = {remedy["says"].split(" ")[0]: remedy["thickness"] for remedy in hem["remedies"]}
    # Bound in the lining: canvas, lining, and four times the lining of 0.25 mm.
    assert remedies == {"bind": "2.25 mm", "overcast": "2.5 mm"}
    assert [remedy["thickness"] for remedy in hem["remedies"]] == ["2.25 mm", "2.5 mm"]


def test_foam_in_an_allowance_is_told_with_what_is_left_without_it() -> None:
    document = band("500 mm", thickness="1 mm")
    document["materials"]["foam"] = {"kind": "foam", "thickness": "5 mm"}
    document["pieces"]["strip"]["layers"].append({"material": "foam"})
    (place,) = places_of(bulky(document), "top")
    assert (place["thickness"], place["over"]) == ("12 mm", "6 mm")
    (remedy,) = place["remedies"]
    assert remedy["says"].startswith("trim the foam out of the allowance")
    assert remedy["thickness"] == "2 mm"
    document["pieces"]["strip"]["layers"][1]["inset"] = "2 mm"
    assert places_of(bulky(document), "top")[0]["thickness"] == remedy["thickness"]


def test_a_binding_goes_over_the_seam_that_it_binds() -> None:
    places = bulky(bound_band(), {"lift": "2 mm"})["places"]
    assert [(place["seam"], place["thickness"], place["over"]) for place in places] == [
        ("top", "1 mm", None),
        ("edge", "3 mm", "1 mm"),
    ]
    assert places[1]["where"] == "round top, one.top on other.top"
    assert [remedy["thickness"] for remedy in places[1]["remedies"]] == ["2 mm"]


def test_what_is_not_known_is_named_and_counts_as_nothing() -> None:
    bulk = bulky(changed(thick_pouch(), "materials.lining", {"says": "cotton"}))
    (side,) = places_of(bulk, "side", "seam")
    assert side["thickness"] == "3 mm"
    assert [layer["thickness"] for layer in side["layers"] if layer["material"] == "lining"] == [None]
    assert any(text.startswith("No thickness is known of lining") for text in bulk["says"])


def test_the_thickest_place_is_told_first() -> None:
    bulk = bulky(thick_pouch())
    assert bulk["says"][0] == "2 places are thicker than the 6 mm that the machine sews."
    assert bulk["says"][1].startswith("side, over the hem of front.top and back.top: 7.5 mm, 1.5 mm more")


@pytest.mark.parametrize("name", DEMO_NAMES)
@pytest.mark.parametrize("pressed", ["apart", "aside"])
def test_every_place_of_a_demo_adds_up_and_every_remedy_is_thinner(
    name: str, pressed: str, demo_documents: dict[str, Json]
) -> None:
    bulk = bulky(demo_documents[name], {"pressed": pressed, "lift": "2 mm"})
    assert set(demo_documents[name]["seams"]) <= {place["seam"] for place in bulk["places"]}
    for place in bulk["places"]:
        added = sum(layer["count"] * read_length(layer["thickness"]) for layer in place["layers"])
        assert added == read_length(place["thickness"])
        assert (place["over"] is None) == (added <= 2)
        left = [read_length(remedy["thickness"]) for remedy in place["remedies"]]
        assert left == sorted(left)
        assert all(thick < added for thick in left)


def test_the_seam_round_the_back_of_the_day_pack_is_thickest_where_base_and_side_meet(
    demo_documents: dict[str, Json],
) -> None:
    """Counted by hand where the right side and the base meet.

    The side is the thicker: main, lining and the mesh pocket, turned apart, so twice; opposite the back (main, lining)
    with its pocket (main, lining), the folder sleeve (second) with its lining, the mesh on the sleeve, and both sides
    of the strap tab (second).
    """
    crossing = next(
        place
        for place in places_of(bulky(demo_documents["ferry_day_pack"]), "back_loop", "crossing")
        if place["where"].startswith("across base right")
    )
    assert layers_of(crossing) == {"main": 2 + 2, "lining": 2 + 3, "mesh": 2 + 1, "second": 1 + 2}
    assert crossing["thickness"] == "9.75 mm"
