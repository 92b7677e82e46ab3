"""Solution maps: what follows for all sizes, by hand, and how a wrong map is found out."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from grading.verify import UnreadableInput, judge_map
from tests.grading.verify import pouch
from tests.grading.verify.drafts import document, panel

PI40 = "3141592653589793238462643383279502884197/1" + "0" * 39
# band = 2(h - r) + (w - 2r) + pi r.
MINUS_FOUR_PLUS_PI = f"{3141592653589793238462643383279502884197 - 4 * 10**39}/1" + "0" * 39
MAP: dict[str, Any] = {
    "format": 1,
    "kind": "map",
    "pattern": "Rounded pouch",
    "ruler": "1 mm",
    "free": ["width", "height", "corner", "depth", "pocket_height"],
    "curved": [],
    "map": {
        "band_length": {"width": "1", "height": "2", "corner": MINUS_FOUR_PLUS_PI},
        "pocket_width": {"width": "1"},
    },
}


def failing(solution: dict[str, Any], pattern: dict[str, Any] | None = None) -> set[str]:
    return {claim.about for claim in judge_map(pattern or pouch.pattern(), solution).failing}


def changed(path: tuple[str, ...], value: Any) -> dict[str, Any]:
    solution = copy.deepcopy(MAP)
    here: Any = solution
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    return solution


def test_the_band_follows_the_rounded_panel_in_every_size() -> None:
    assert failing(MAP) == set()


def test_a_wrong_coefficient_breaks_the_seams_that_it_stands_in() -> None:
    seams = {"map:seam:front_round", "map:seam:back_round", "map:notch:front_round:0"}
    assert failing(changed(("map", "band_length", "height"), "3")) >= {"map:seam:front_round", "map:seam:back_round"}
    assert failing(changed(("map", "band_length", "1"), "1/1000")) <= seams
    assert failing(changed(("map", "band_length", "1"), "1/1000"))


@pytest.mark.parametrize(
    ("path", "value", "about"),
    [
        (("free",), MAP["free"][:-1], "map:decides:pocket_height"),
        (("free",), [*MAP["free"], "pocket_width"], "map:decides:pocket_width"),
        (("free",), [*MAP["free"], "heel"], "map:form"),
        (("map", "pocket_width"), {"band_length": "1"}, "map:form"),
        (("map", "pocket_width"), {"width": "x"}, "map:form"),
        (("map", "pocket_width"), None, "map:form"),
        (("map",), None, "map:form"),
        (("curved",), ["seam:front_round"], "map:seam:front_round"),
        (("curved",), ["seam:heel"], "map:form"),
        (("pattern",), "Bag", "printed:pattern"),
    ],
)
def test_each_way_to_fake_a_map_is_found(path: tuple[str, ...], value: Any, about: str) -> None:
    assert about in failing(changed(path, value))


def test_a_map_that_decides_more_than_the_equations_do_is_found() -> None:
    solution = changed(("map", "pocket_height"), {"1": "60"})
    solution["free"].remove("pocket_height")
    assert failing(solution) == {"map:rank"}


def triangles(ease: str | None = None) -> dict[str, Any]:
    def corner(across: str, along: str) -> dict[str, Any]:
        edges = [{"name": "top", "to": [across, 0]}, {"name": "side", "to": [0, f"-{along}"]}]
        return panel({"start": [0, 0], "edges": [*edges, {"name": "back", "to": [0, 0]}]})

    seam: dict[str, Any] = {"join": ["one.side"], "to": ["two.side"]} | ({"ease": ease} if ease else {})
    return document(
        dimensions={name: {"base": 100} for name in ("a", "b", "c", "d")},
        pieces={"one": corner("a", "b"), "two": corner("c", "d")},
        seams={"side": seam},
        rules={"across": {"holds": "a == 2*c", "because": "x"}, "along": {"holds": "b == 2*d", "because": "y"}},
    )


def test_roots_of_areas_that_become_equal_cancel() -> None:
    pattern = triangles()
    pattern["rules"] = {"one": {"holds": "a == c", "because": "x"}, "two": {"holds": "b == d", "because": "y"}}
    same = {**MAP, "pattern": "draft", "free": ["c", "d"], "map": {"a": {"c": "1"}, "b": {"d": "1"}}}
    assert failing(same, pattern) == set()
    assert failing({**same, "curved": ["seam:side"]}, pattern) == {"map:seam:side"}


def test_an_equation_that_keeps_its_roots_must_be_listed_as_curved() -> None:
    curved = {**MAP, "pattern": "draft", "free": ["c", "d"], "map": {"a": {"c": "2"}, "b": {"d": "2"}}}
    assert failing(curved, triangles("10 mm")) == {"map:seam:side"}
    assert failing({**curved, "curved": ["seam:side"]}, triangles("10 mm")) == set()


@pytest.mark.parametrize("solution", [None, {}, {"kind": "map", "ruler": "0 mm"}, {"kind": "map", "ruler": []}])
def test_what_is_no_map_is_refused(solution: Any) -> None:
    with pytest.raises(UnreadableInput):
        judge_map(pouch.pattern(), solution)
