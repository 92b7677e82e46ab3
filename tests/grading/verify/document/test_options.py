"""Options: a document resolved for what was chosen, and grades that say which bag they are of."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from grading.verify import UnreadableInput, judge, judge_measured
from grading.verify.document.options import chosen_options, resolved
from tests.grading.verify import pouch

OPTIONS = {"pocket": {"choices": ["with", "without"]}, "foot": {"choices": ["plain", "marked"], "default": "marked"}}


def optional_pouch() -> dict[str, Any]:
    pattern = pouch.pattern() | {"options": copy.deepcopy(OPTIONS)}
    with_pocket = {"when": {"pocket": "with"}}
    for section, name in (("dimensions", "pocket_width"), ("dimensions", "pocket_height"), ("pieces", "pocket")):
        pattern[section][name] |= with_pocket
    pattern["coverings"]["pocket_on_front"] |= with_pocket
    pattern["contents"]["card"] |= with_pocket
    for piece in ("panel", "band"):
        pattern["pieces"][piece]["notches"]["foot"] |= {"when": {"foot": ["marked"]}}
    return pattern


def test_the_default_choice_is_the_first_unless_another_is_named() -> None:
    assert chosen_options(optional_pouch(), {}, "x") == {"pocket": "with", "foot": "marked"}
    asked = {"options": {"pocket": "without"}}
    assert chosen_options(optional_pouch(), asked, "x") == {"pocket": "without", "foot": "marked"}


def test_the_resolved_document_is_the_plain_one() -> None:
    assert resolved(optional_pouch(), {"pocket": "with", "foot": "marked"}) == pouch.pattern()


def test_parts_that_are_not_chosen_go_and_steps_lose_their_names() -> None:
    document = optional_pouch()
    document["steps"][0]["finishes"].append("front.top")
    left = resolved(document, {"pocket": "without", "foot": "marked"})
    assert "pocket" not in left["pieces"] and left["coverings"] == {} and left["contents"] == {}
    assert (left["steps"][0]["uses"], left["steps"][0]["lays"], left["steps"][0]["finishes"]) == ([], [], ["front.top"])


def test_a_step_that_has_no_names_left_goes_and_one_that_never_had_any_stays() -> None:
    document = optional_pouch()
    document["steps"].append({"text": "Press.", "action": "press"})
    left = resolved(document, {"pocket": "without", "foot": "marked"})
    assert [step["action"] for step in left["steps"]] == ["sew", "sew", "press"]


def test_a_grade_says_which_options_it_is_of() -> None:
    grade = pouch.grade() | {"options": {"pocket": "with", "foot": "marked"}}
    assert judge(optional_pouch(), grade).failing == ()
    without = copy.deepcopy(grade)
    without["options"]["foot"] = "plain"
    assert [claim.about for claim in judge(optional_pouch(), without).failing] == ["printed:options.foot"]
    del without["options"]
    assert [claim.about for claim in judge(optional_pouch(), without).failing] == ["printed:options"]


def test_a_named_size_with_other_options_is_another_size() -> None:
    pattern = optional_pouch()
    pattern["sizes"]["bare"] = {"scale": 1, "options": {"pocket": "without"}}
    grade = pouch.grade() | {"options": {"pocket": "with", "foot": "marked"}}
    grade["size"]["name"] = "bare"
    assert [claim.about for claim in judge(pattern, grade).failing] == ["printed:size.request"]


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("options", "pocket", "choices"), ["with"]),
        (("options", "pocket", "choices"), ["with", "with"]),
        (("options", "pocket", "default"), "perhaps"),
        (("options", "pocket"), 7),
        (("pieces", "pocket", "when"), {"lining": "with"}),
        (("pieces", "pocket", "when"), {"pocket": "perhaps"}),
        (("pieces", "pocket", "when"), ["pocket"]),
        (("pieces", "panel", "edges", "top", "when"), {"pocket": "with"}),
        (("sizes", "small", "options"), {"pocket": "perhaps"}),
    ],
)
def test_options_that_make_no_sense_are_refused(path: tuple[str, ...], value: Any) -> None:
    pattern = optional_pouch()
    here: Any = pattern
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    with pytest.raises(UnreadableInput):
        judge(pattern, pouch.grade() | {"options": {"pocket": "with", "foot": "marked"}})


def test_a_null_among_the_choices_of_a_request_counts_as_absent() -> None:
    assert chosen_options(optional_pouch(), {"options": {"foot": None}}, "x")["foot"] == "marked"


def test_two_pieces_of_which_one_is_there_may_share_the_name_of_their_use() -> None:
    document = optional_pouch()
    document["pieces"]["pocket"] |= {"uses": ["patch"]}
    document["pieces"]["flat_pocket"] = {**document["pieces"]["pocket"], "when": {"pocket": "without"}}
    document["coverings"]["pocket_on_front"] |= {"piece": "patch"}
    document["steps"][0] |= {"uses": ["patch"], "finishes": ["patch.top"]}
    for choice in ("with", "without"):
        step = resolved(document, {"pocket": choice, "foot": "marked"})["steps"][0]
        assert (step["uses"], step["finishes"]) == (["patch"], ["patch.top"])
        assert step["lays"] == (["pocket_on_front"] if choice == "with" else [])


def test_a_name_stays_in_a_step_while_a_piece_or_a_finding_bears_it() -> None:
    document = optional_pouch()
    document["pieces"]["loop"] = {**document["pieces"]["pocket"]}
    sew = resolved(document, {"pocket": "without", "foot": "marked"})["steps"][0]
    assert sew["uses"] == ["loop"]


def test_pieces_measured_at_the_table_are_those_of_the_size_that_was_cut() -> None:
    pattern = optional_pouch()
    pattern["sizes"]["bare"] = {"scale": 1, "options": {"pocket": "without"}}
    sides = {"right": 120, "bottom_right": 47, "bottom": 140, "bottom_left": 47, "left": 120}
    pieces = {"front": {edge: {"stitched": length} for edge, length in sides.items()}, "band": {"top": {"cut": 494}}}
    found = judge_measured(pattern, {"uncertainty": "0.1 mm", "pieces": pieces, "size": "bare"})
    assert [(seam.seam, seam.verdict) for seam in found.seams] == [("front_round", "joins")]
    pocket = {"uncertainty": 0, "pieces": {"pocket": {"left": {"stitched": 60}}}}
    assert judge_measured(pattern, pocket).seams == ()
    with pytest.raises(UnreadableInput):
        judge_measured(pattern, {**pocket, "size": "bare"})
