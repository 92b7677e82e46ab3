"""Coverings: where a piece laid on another lies, straight and mirrored, in lines and in arcs."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.verify.document.coverings import SIDES, Covering, covering_relations
from grading.verify.document.pattern import Pattern
from grading.verify.unreadable import UnreadableInput
from tests.grading.verify.drafts import drawn, panel, value

ROUND = {"rounded_rectangle": {"width": "w", "height": "h", "corners": {"bottom_left": 30, "bottom_right": 20}}}
SMALL = {"rounded_rectangle": {"width": 120, "height": 60, "corners": {"bottom_right": 20}}}
SMALL_LEFT = {"rounded_rectangle": {"width": 120, "height": 60, "corners": {"bottom_left": 20}}}


def laid(
    covering: dict[str, Any], own: Any = None, over: Any = None, mirrored: bool = False
) -> tuple[Pattern, Covering]:
    pattern = drawn(
        pieces={
            "front": panel(over or ROUND, uses=[{"name": "front", "mirrored": mirrored}]),
            "pocket": panel(own or {"rectangle": [120, 60]}),
        },
        coverings={"it": {"piece": "pocket", "over": "front", **covering}},
    )
    return pattern, pattern.coverings["it"]


def distances(pattern: Pattern, covering: Covering) -> dict[str, Fraction]:
    return {side: value(pattern, covering.distance(side)) for side in SIDES}


def off(pattern: Pattern, covering: Covering) -> dict[str, Fraction]:
    return {item.name.removeprefix("covering:it:"): value(pattern, item.form) for item in covering_relations(covering)}


def test_clearances_place_a_piece_from_the_sides_that_are_named() -> None:
    pattern, covering = laid({"clear": {"left": 10, "top": 30}})
    assert distances(pattern, covering) == {"left": 10, "right": 70, "top": 30, "bottom": 10}
    assert off(pattern, covering) == {"clear:right": 70, "clear:bottom": 10}
    pattern, covering = laid({"clear": {"right": 10, "bottom": {"at_least": 5}, "top": 31}})
    assert distances(pattern, covering) == {"left": 70, "right": 10, "top": 31, "bottom": 9}
    assert off(pattern, covering) == {"clear:left": 70, "clear:bottom": 4}


def test_the_first_caught_edge_gives_the_shift_and_the_others_must_agree() -> None:
    pattern, covering = laid({"caught": {"left": "left", "right": "right"}, "clear": {"top": 5}})
    assert off(pattern, covering) == {
        "caught:left:from": 5,  # the panel's left ends 30 above its bottom, the pocket's 35
        "caught:left:to": 5,
        "caught:right": -80,  # 120 wide on 200
        "caught:right:from": 15,
        "caught:right:to": 5,
        "clear:bottom": 35,
    }


def test_pleats_bring_the_right_side_to_where_it_is_caught() -> None:
    caught = {"caught": {"left": "left", "right": "right"}, "clear": {"top": 5}}
    pattern, covering = laid({**caught, "takes_up": {"across": 40}}, own={"rectangle": [240, 60]})
    assert off(pattern, covering)["caught:right"] == 0
    assert distances(pattern, covering) == {"left": 0, "right": 0, "top": 5, "bottom": 35}


def test_what_a_fold_takes_up_brings_the_bottom_up_and_the_middle_by_half() -> None:
    pattern, covering = laid({"clear": {"left": 0, "top": 5}, "takes_up": {"along": 20}}, own={"rectangle": [120, 80]})
    assert distances(pattern, covering)["bottom"] == 35
    middle = covering.own_view.seen((pattern.pieces["pocket"].outline.box.left, value_form(pattern, "-h/2 + 10")))
    assert value(pattern, middle[1]) == -30


def value_form(pattern: Pattern, text: str) -> Any:
    return pattern.expressions.drawn(text, "test")


def test_a_piece_face_down_is_caught_left_in_right() -> None:
    pattern, covering = laid({"face": "down", "caught": {"left": "right", "right": "left"}, "clear": {"top": 5}})
    # Its left edge is seen on the right: it lies on the panel's right; its right edge is 80 short of the panel's left.
    assert distances(pattern, covering)["right"] == 0
    assert abs(off(pattern, covering)["caught:right"]) == 80


def test_a_mirrored_use_is_seen_mirrored() -> None:
    plain = {"caught": {"left": "left"}, "clear": {"top": 5}}
    pattern, covering = laid(plain, mirrored=True)
    # The panel's left is seen on its right: the pocket's left lies there, and the pocket hangs out by its width.
    assert distances(pattern, covering)["right"] == -120
    pattern, covering = laid({**plain, "face": "down"}, mirrored=True)
    assert distances(pattern, covering) == {"left": 80, "right": 0, "top": 5, "bottom": 35}


def test_rounded_corners_lie_on_each_other() -> None:
    pattern, covering = laid({"caught": {"bottom_right": "bottom_right"}}, own=SMALL)
    assert distances(pattern, covering) == {"left": 80, "right": 0, "top": 40, "bottom": 0}
    assert {key: item for key, item in off(pattern, covering).items() if "caught" in key} == {
        "caught:bottom_right:end:across": 0,
        "caught:bottom_right:end:along": 0,
    }


def test_a_rounded_corner_face_down_lies_on_the_other_way_round() -> None:
    pattern, covering = laid({"face": "down", "caught": {"bottom_left": "bottom_right"}}, own=SMALL_LEFT)
    assert distances(pattern, covering) == {"left": 80, "right": 0, "top": 40, "bottom": 0}
    assert off(pattern, covering)["caught:bottom_left:end:across"] == 0


def test_a_corner_of_another_radius_does_not_lie_on() -> None:
    pattern, covering = laid({"face": "down", "caught": {"bottom_left": "bottom_right"}}, own=ROUND)
    assert off(pattern, covering)["caught:bottom_left:end:along"] != 0


@pytest.mark.parametrize(
    "covering",
    [
        {},
        {"clear": {"left": 5}},
        {"clear": {"left": {"at_least": 5}, "top": 5}},
        {"caught": {"left": "top"}, "clear": {"left": 5, "top": 5}},
        {"caught": {"left": "bottom_left"}, "clear": {"top": 5}},
        {"caught": {"heel": "left"}, "clear": {"top": 5}},
        {"face": "sideways", "clear": {"left": 5, "top": 5}},
    ],
)
def test_a_covering_that_does_not_say_where_it_lies_is_refused(covering: dict[str, Any]) -> None:
    with pytest.raises(UnreadableInput):
        laid(covering)


def test_a_corner_cannot_be_caught_in_one_that_turns_the_other_way() -> None:
    for own in (SMALL, SMALL_LEFT):
        corner = "bottom_right" if own is SMALL else "bottom_left"
        for down in (False, True):
            fits = (corner == "bottom_right") != down
            covering = {"face": "down" if down else "up", "caught": {corner: "bottom_right"}}
            if fits:
                laid(covering, own=own)
            else:
                with pytest.raises(UnreadableInput):
                    laid(covering, own=own)
