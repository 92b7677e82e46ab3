"""Bags that are closed with nothing open to turn them through."""

from __future__ import annotations

import pytest

from tests.grading.check.sound import Json, lined_bag, places, said, told, zipped_bag
from tests.patterns import GONE, changed


def whole_lining() -> Json:
    """The lined bag with the lining's bottom sewn from end to end."""
    document = lined_bag()
    for name in ("opening", "lining_bottom_2"):
        del document["seams"][name]
    document["seams"]["lining_bottom"] = {"join": ["lining_front.bottom"], "to": ["lining_back.bottom"]}
    document["steps"][2] = {"text": "Sew the lining's bottom.", "action": "sew", "makes": ["lining_bottom"]}
    del document["steps"][5]
    return document


def test_a_lining_without_an_opening_closes_the_bag_for_good() -> None:
    note = told(whole_lining(), "closed_up")
    assert (note.path, note.is_remark) == ("steps.3", False)
    assert "nothing is left open" in note.problem
    assert '"close"' in note.remedy


def test_an_opening_that_is_closed_before_the_bag_is_turned_is_none() -> None:
    document = lined_bag()
    document["steps"][4], document["steps"][5] = document["steps"][5], document["steps"][4]
    assert places(document, "closed_up") == ["steps.5"]


def test_the_zip_is_opened_before_the_last_seam() -> None:
    assert said(zipped_bag()) == []
    note = told(changed(zipped_bag(), "steps.1.text", "Sew."), "closed_up")
    assert note.path == "steps.1"
    assert "nobody has opened closure" in note.problem
    assert "open the zip first" in note.remedy


@pytest.mark.parametrize(
    ("action", "text"),
    [("leave open", "Reißverschluss öffnen."), ("press", "Leave the zip half open."), ("press", "Open the long zip.")],
)
def test_opening_a_zip_is_said_in_a_text_or_by_an_action(action: str, text: str) -> None:
    document = changed(zipped_bag(), "steps.1.text", "Sew.")
    document["steps"].insert(1, {"text": text, "action": action, "uses": ["closure"]})
    assert places(document, "closed_up") == []


def test_a_bag_with_a_hemmed_mouth_can_be_turned() -> None:
    document = changed(zipped_bag(), "steps.1.text", "Sew.")
    del document["findings"], document["stock"], document["seams"]["zip_front"], document["seams"]["zip_back"]
    document["pieces"]["panel"]["edges"]["top"] = {"fate": "hemmed once"}
    document["steps"][0] = {"text": "Hem.", "action": "sew", "finishes": ["front.top", "back.top"]}
    assert said(document) == []


def test_nothing_is_turned_before_it_is_sewn() -> None:
    document = lined_bag()
    document["steps"].insert(0, {"text": "Turn the front.", "action": "turn", "uses": ["front"]})
    assert places(document, "out_of_order") == ["steps.0"]


def test_topstitching_comes_before_a_bag_is_closed_on_all_sides() -> None:
    document = changed(lined_bag(), "pieces.panel.lines.rim", {"from": [0, -20], "to": ["width", -20]})
    document["pieces"]["patch"] = {
        "outline": {"rectangle": ["width", "40 mm"]},
        "edges": {edge: {"fate": "raw"} for edge in ("top", "right", "bottom", "left")},
        "layers": [{"material": "main"}],
    }
    document["seams"]["patch_top"] = {
        "join": ["patch.top"],
        "to": [{"line": "front.rim", "direction": "forward"}],
        "kind": "topstitched",
    }
    late = {"text": "Stitch the patch on.", "action": "topstitch", "makes": ["patch_top"]}
    assert said({**document, "steps": [late, *document["steps"]]}) == []
    note = told({**document, "steps": [*document["steps"], late]}, "stitched_down_late")
    assert (note.path, note.is_remark) == ("steps.6.makes", True)


def test_a_draft_without_steps_says_nothing_of_turning() -> None:
    assert places(changed(lined_bag(), "steps", GONE), "closed_up") == []
