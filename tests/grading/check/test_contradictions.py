"""Seams that cannot match at any size."""

from __future__ import annotations

from tests.grading.check.sound import places, pouch, said, told
from tests.patterns import changed


def test_seams_that_contradict_a_rule_are_named_together_with_their_lengths() -> None:
    document = changed(pouch(), "seams.side.ease", "5 mm")
    note = told(document, "contradiction")
    assert (note.path, note.is_remark) == ("seams.side", False)
    assert all(number in note.problem for number in ("90 mm to 90 mm", "5 mm"))


def test_only_what_contradicts_itself_is_named() -> None:
    document = changed(pouch(), "rules.wider", {"holds": "pocket_width == width + 20", "because": "it bellows"})
    note = told(document, "contradiction")
    assert "coverings.pocket_on_front" in note.problem
    assert "rules.wider" in note.problem
    assert "seams" not in note.problem


def test_contradictions_that_have_nothing_in_common_are_told_apart() -> None:
    document = changed(pouch(), "seams.side.ease", "5 mm")
    document["rules"]["wider"] = {"holds": "pocket_width == width + 20", "because": "it bellows"}
    assert len(places(document, "contradiction")) == 2


def test_all_else_is_looked_at_in_spite_of_a_contradiction() -> None:
    document = changed(changed(pouch(), "seams.side.ease", "5 mm"), "steps.2.lays", [])
    document["pieces"]["pocket"]["edges"].pop("bottom")
    assert {note.kind for note in said(document)} >= {"contradiction", "no_step", "unfinished_edge"}
