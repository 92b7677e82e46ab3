"""Steps: everything is made in one of them."""

from __future__ import annotations

from tests.grading.check.sound import Json, places, pouch, told, zipped_bag
from tests.patterns import GONE, changed


def strapped() -> Json:
    """The pouch with a webbing loop that a step uses."""
    document = changed(pouch(), "findings.loop", {"webbing": {"width": "20 mm", "length": "60 mm"}})
    document["steps"][4]["uses"] = ["stud", "loop"]
    return document


def test_a_seam_without_a_step_is_named() -> None:
    note = told(changed(pouch(), "steps.3.makes", ["side", "side_2"]), "no_step")
    assert (note.path, note.is_remark) == ("seams.bottom", False)
    assert "`makes`" in note.remedy


def test_a_covering_without_a_step_is_named() -> None:
    document = changed(pouch(), "steps.2.lays", [])
    assert places(document, "no_step") == ["coverings.pocket_on_front"]


def test_a_hem_without_a_step_is_named() -> None:
    document = changed(pouch(), "steps.0.finishes", ["front.top"])
    note = told(document, "no_step")
    assert (note.path, "back.top" in note.problem) == ("pieces.panel.edges.top", True)


def test_a_binding_without_a_step_is_named() -> None:
    document = changed(pouch(), "pieces.pocket.edges.top.fate", "bound")
    document["findings"]["trim"] = {"binding": {"width": 32, "along": ["pocket.top"], "cut_on": "bought"}}
    document["steps"][1]["finishes"] = ["pocket.bottom"]
    assert places(document, "no_step") == ["findings.trim"]


def test_a_seam_in_two_steps_is_named_at_the_second() -> None:
    note = told(changed(pouch(), "steps.4.makes", ["side"]), "two_steps")
    assert note.path == "steps.4.makes"
    assert "step 4 and step 5" in note.problem


def test_a_piece_that_is_only_cut_is_a_fault() -> None:
    spare = {
        "outline": {"rectangle": ["width", "height"]},
        "edges": {edge: {"fate": "raw"} for edge in ("top", "right", "bottom", "left")},
        "layers": [{"material": "main"}],
    }
    note = told(changed(pouch(), "pieces.spare", spare), "unused_piece")
    assert (note.path, note.is_remark) == ("pieces.spare", False)


def test_one_use_of_several_that_is_only_cut_is_named_by_its_place() -> None:
    document = changed(pouch(), "pieces.patch", {**pouch()["pieces"]["pocket"], "uses": ["patch_1", "patch_2"]})
    for edge in ("left", "right"):
        document["pieces"]["patch"]["edges"][edge] = {"fate": "raw"}
    for edge in ("top", "bottom"):
        document["pieces"]["patch"]["edges"][edge] = {"fate": "raw"}
    document["steps"][2]["uses"] = ["patch_1"]
    assert places(document, "unused_piece") == ["pieces.patch.uses.1"]


def test_webbing_that_a_step_uses_is_no_fault() -> None:
    assert places(strapped(), "unused_finding") == []


def test_a_finding_that_no_step_uses_is_a_fault() -> None:
    assert places(changed(strapped(), "steps.4.uses", ["stud"]), "unused_finding") == ["findings.loop"]


def test_a_zip_that_is_set_in_nowhere_is_a_fault() -> None:
    spare = {"zip": {"length": "width", "exposed": 10, "stock": "zips", "shortened": True}}
    note = told(changed(zipped_bag(), "findings.spare", spare), "unused_finding")
    assert note.path == "findings.spare"
    assert "sets the zip spare in" in note.problem


def test_a_draft_without_steps_is_remarked_on_once() -> None:
    document = changed(pouch(), "steps", GONE)
    note = told(document, "no_steps")
    assert (note.path, note.is_remark) == ("steps", True)
    assert places(document, "no_step", "unused_finding", "out_of_order") == []
