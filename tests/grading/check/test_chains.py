"""Sides of seams that run on from edge to edge, and their allowances."""

from __future__ import annotations

from tests.grading.check.sound import lined_bag, told
from tests.patterns import changed


def test_a_loop_needs_its_side_seams_first() -> None:
    document = lined_bag()
    document["steps"][0]["makes"] = ["side", "bottom"]
    document["steps"][5]["makes"] = ["opening", "side_2"]
    note = told(document, "not_connected")
    assert note.path == "seams.mouth.join"
    assert "step 4" in note.problem
    assert "earlier step" in note.remedy


def test_edges_that_nothing_ever_brings_together_are_named() -> None:
    document = changed(lined_bag(), "seams.mouth.join", ["front.top", "back.top backward"])
    note = told(document, "not_connected")
    assert "front.top does not run on to back.top" in note.problem
    assert "turn an edge round" in note.remedy


def test_a_plain_seam_has_one_allowance() -> None:
    document = changed(lined_bag(), "pieces.lining.edges.top", {"allowance": "12 mm"})
    note = told(document, "unequal_allowances")
    assert (note.path, "10 mm" in note.problem, "12 mm" in note.problem) == ("seams.mouth", True, True)
