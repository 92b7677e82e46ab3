"""Sizes that cannot be made."""

from __future__ import annotations

from tests.grading.check.sound import places, pouch, said, told
from tests.patterns import changed


def test_a_named_size_that_cannot_be_made_is_a_fault_at_its_place() -> None:
    note = told(changed(pouch(), "sizes.wide.set.width", "250 mm"), "size_conflict")
    assert (note.path, note.is_remark) == ("sizes.wide", False)
    assert all(word in note.problem for word in ("wide", "250 mm", "200 mm"))


def test_sizes_that_fail_for_one_reason_are_told_together() -> None:
    document = changed(pouch(), "dimensions.strip", {"base": 130, "sizing": "fixed"})
    document["rules"]["strip"] = {"holds": "width >= strip", "because": "the strip goes across"}
    document["sizes"] = {"small": {"set": {"width": "110 mm"}}, "wide": {"set": {"width": "150 mm"}}}
    assert places(document, "size_conflict") == ["sizes.small"]


def test_what_no_size_can_meet_is_told_once() -> None:
    document = changed(pouch(), "contents.card.object", ["300 mm", "54 mm", "1 mm"])
    note = told(document, "impossible")
    assert "in no size" in note.problem
    assert all(word in note.problem for word in ("301 mm", "200 mm"))


def test_a_ruler_out_of_reach_is_a_fault_with_what_would_do() -> None:
    document = changed(pouch(), "rules.odd", {"holds": "height == width/2 + 0.25", "because": "it looks well"})
    document["sizes"] = {}
    note = told(document, "ruler_out_of_reach")
    assert (note.path, note.is_remark) == ("rules.odd", False)
    assert "a ruler of 1 mm" in note.problem
    assert "would do" in note.remedy


def test_a_size_with_a_ruler_of_its_own_fails_alone() -> None:
    note = told(changed(pouch(), "sizes", {"coarse": {"scale": 1, "ruler": "500 mm"}}), "size_conflict")
    assert (note.path, "500 mm" in note.problem) == ("sizes.coarse", True)


def test_a_size_that_is_not_in_stock_is_named_at_its_place() -> None:
    document = changed(pouch(), "dimensions.pocket_height", {"base": 50, "sizing": "stock", "stock": "tapes"})
    document["stock"] = {"tapes": ["40 mm", "50 mm"]}
    document["sizes"]["wide"]["set"]["pocket_height"] = "45 mm"
    note = told(document, "size_request")
    assert note.path == "sizes.wide.set.pocket_height"
    assert "choose one of 40 mm, 50 mm" in note.remedy


def test_a_dimension_that_nothing_decides_is_named_once() -> None:
    document = changed(pouch(), "dimensions.pocket_height", {"base": 50, "sizing": "decided"})
    note = told(document, "undecided_dimension")
    assert (note.path, note.is_remark) == ("dimensions.pocket_height", False)


def test_an_outline_that_crosses_itself_in_a_size_is_a_fault() -> None:
    document = changed(
        pouch(),
        "pieces.star",
        {
            "outline": {
                "start": [0, 0],
                "edges": [
                    {"name": "a", "to": ["width", 0]},
                    {"name": "b", "to": [0, -50]},
                    {"name": "c", "to": ["width", -50]},
                    {"name": "d", "to": [0, 0]},
                ],
            },
            "edges": {edge: {"fate": "raw"} for edge in "abcd"},
            "layers": [{"material": "main"}],
        },
    )
    document["steps"][4]["uses"] = ["stud", "star"]
    notes = [note for note in said(document) if note.kind == "claim_closed"]
    assert [note.path for note in notes] == ["pieces.star.outline"]
    assert "in every size" in notes[0].problem


def test_all_named_sizes_are_looked_at() -> None:
    document = changed(pouch(), "sizes", {f"size_{width}": {"set": {"width": width}} for width in (110, 210, 220)})
    assert places(document, "size_conflict") == ["sizes.size_210", "sizes.size_220"]
