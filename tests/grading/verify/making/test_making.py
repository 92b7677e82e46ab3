"""How a bag is made: sides that run on round corners, edges that are joined once, and the order of steps."""

from __future__ import annotations

from typing import Any

from grading.verify.document.pattern import Pattern
from grading.verify.making.chains import chain_claims
from grading.verify.making.fates import fate_claims
from tests.grading.verify.drafts import drawn, panel

BODY = {
    "start": [0, 0],
    "edges": [
        {"name": "top", "to": ["w", 0]},
        {"name": "right", "to": ["w", "-h"]},
        {"name": "right_in", "to": ["w-30", "-h"]},
        {"name": "right_up", "to": ["w-30", "-h-30"]},
        {"name": "bottom", "to": [30, "-h-30"]},
        {"name": "left_up", "to": [30, "-h"]},
        {"name": "left_in", "to": [0, "-h"]},
        {"name": "left", "to": [0, 0]},
    ],
}
SEAMS: dict[str, Any] = {
    "side": {"join": ["front.right"], "to": ["back.left"]},
    "side_2": {"join": ["front.left"], "to": ["back.right"]},
    "bottom": {"join": ["front.bottom"], "to": ["back.bottom"]},
    # From the inner corner of the front over the side seam to the inner corner of the back, and likewise below.
    "box": {
        "join": ["front.right_in backward", "back.left_in backward"],
        "to": ["front.right_up forward", "back.left_up forward"],
    },
}
STEPS = [
    {"text": "Close the sides and the bottom.", "action": "sew", "makes": ["side", "side_2", "bottom"]},
    {"text": "Box the corner.", "action": "sew", "makes": ["box"]},
]


def tote(seams: dict[str, Any] | None = None, steps: list[dict[str, Any]] | None = None, **parts: Any) -> Pattern:
    body = panel(BODY, uses=["front", "back"], edges={"top": {"fate": "hemmed twice", "allowance": 40}})
    return drawn(pieces={"body": body}, seams=seams or SEAMS, steps=steps or [], **parts)


def chains(pattern: Pattern) -> dict[str, bool]:
    return {claim.about.removeprefix("chain:"): claim.holds for claim in chain_claims(pattern)}


def fates(pattern: Pattern) -> dict[str, bool]:
    return {claim.about.removeprefix("fate:"): claim.holds for claim in fate_claims(pattern, pattern.base)}


def test_a_boxed_corner_runs_over_the_side_and_bottom_seams() -> None:
    assert chains(tote()) == {"box:join": True, "box:to": True}
    assert chains(tote(steps=STEPS)) == {"box:join": True, "box:to": True}


def test_a_boxed_corner_cannot_be_sewn_before_the_seams_that_it_crosses() -> None:
    assert chains(tote(steps=STEPS[::-1])) == {"box:join": False, "box:to": False}
    first = {"text": "Box.", "action": "sew", "makes": ["side", "box", "bottom"]}
    assert chains(tote(steps=[first])) == {"box:join": True, "box:to": False}


def test_a_side_that_jumps_is_found() -> None:
    wrong = {**SEAMS, "box": {**SEAMS["box"], "join": ["front.right_in", "back.left_in"]}}
    assert chains(tote(wrong)) == {"box:join": False, "box:to": True}


def test_a_ring_closes_round_a_disc_and_through_its_own_seam() -> None:
    pieces = {"floor": panel({"disc": {"radius": 50}}), "wall": panel({"rectangle": ["w", "h"]})}
    seams = {
        "ring": {"join": ["wall.right"], "to": ["wall.left"]},
        "round": {"join": ["wall.bottom"], "to": ["floor.rim"], "closed": True},
    }
    assert chains(drawn(pieces=pieces, seams=seams)) == {"round:join": True, "round:to": True}
    open_ring = {"round": seams["round"]}
    assert chains(drawn(pieces=pieces, seams=open_ring)) == {"round:join": False, "round:to": True}


def test_parts_of_an_edge_run_on_where_the_next_begins() -> None:
    def seam(second: Any) -> dict[str, Any]:
        parts = [{"edge": "a.top", "to": "w/4"}, {"edge": "a.top", "from": second}]
        return {"it": {"join": parts, "to": ["b.top"]}}

    pieces = {"a": panel(), "b": panel()}
    good = drawn(pieces=pieces, seams=seam("w/2 - w/4"))
    assert chains(good) == {"it:join": True}
    assert fates(good)["a.top"]
    gap = drawn(pieces=pieces, seams=seam("w/2"))
    assert chains(gap) == {"it:join": False}
    assert not fates(gap)["a.top"]


def test_each_edge_is_joined_caught_or_finished_once() -> None:
    found = fates(tote())
    assert not found["front.left_in"]  # the second corner was never boxed
    assert found["front.right_in"] and found["front.top"] and found["back.bottom"]


def test_topstitching_joins_nothing() -> None:
    pieces = {
        "a": panel(lines={"row": {"from": [0, -50], "to": ["w", -50]}}, edges={"top": {"fate": "raw"}}),
        "b": panel(edges={"top": {"fate": "folded"}}),
    }
    seams = {"row": {"join": ["b.top"], "to": [{"line": "a.row"}], "kind": "topstitched"}}
    found = fates(drawn(pieces=pieces, seams=seams))
    assert found["b.top"] and found["a.top"] and not found["b.left"]


def test_a_binding_may_follow_parts_that_tile_its_edge() -> None:
    pieces = {"a": panel(edges={"top": {"fate": "bound"}, "left": {"fate": "bound"}})}

    def bound(*along: Any) -> dict[str, bool]:
        tape = {"binding": {"width": 20, "along": list(along), "cut_on": "bought"}}
        return {
            key: item for key, item in fates(drawn(pieces=pieces, findings={"tape": tape})).items() if "bound" in key
        }

    half = [{"edge": "a.top", "to": 80}, {"edge": "a.top", "from": 80}]
    assert bound("a.left", *half) == {"a.top:bound": True, "a.left:bound": True}
    assert bound("a.left", half[0]) == {"a.top:bound": False, "a.left:bound": True}
    assert bound("a.top", "a.top") == {"a.top:bound": False, "a.left:bound": False}
