"""What becomes of each edge."""

from __future__ import annotations

import pytest

from tests.grading.check.sound import Json, places, pouch, said, told
from tests.patterns import GONE, changed


def bound_pocket() -> Json:
    """The pouch with the pocket's upper edge bound."""
    document = changed(pouch(), "pieces.pocket.edges.top.fate", "bound")
    document["steps"][1] = {
        "text": "Hem the pocket and bind its top.",
        "action": "bind",
        "finishes": ["pocket.bottom"],
        "binds": ["trim"],
    }
    binding = {"width": "32 mm", "along": ["pocket.top"], "cut_on": "bought"}
    return changed(document, "findings.trim", {"binding": binding})


def test_an_edge_that_nothing_becomes_of_is_named_with_what_could_be_done() -> None:
    note = told(changed(pouch(), "pieces.pocket.edges.bottom", GONE), "unfinished_edge")
    assert note.path == "pieces.pocket.edges.bottom"
    assert "pocket.bottom" in note.problem
    assert "fate" in note.remedy


def test_both_uses_of_an_unfinished_edge_come_in_one_note() -> None:
    document = changed(pouch(), "pieces.panel.edges.top.fate", GONE)
    document["steps"][0] = {"text": "Press the tops.", "action": "press", "uses": ["front", "back"]}
    note = told(document, "unfinished_edge")
    assert note.path == "pieces.panel.edges.top"
    assert "front.top and back.top" in note.problem


def test_an_edge_that_is_joined_and_has_a_fate_is_finished_twice() -> None:
    document = changed(pouch(), "pieces.panel.edges.left", {"fate": "raw"})
    notes = [note for note in said(document) if note.kind == "finished_twice"]
    assert [note.path for note in notes] == ["pieces.panel.edges.left"] * 2
    assert ["side_2" in note.problem and "left raw" in note.problem for note in notes] == [True, False]


def test_an_edge_that_is_caught_and_has_a_fate_is_finished_twice() -> None:
    document = changed(pouch(), "pieces.pocket.edges.left", {"fate": "raw"})
    assert places(document, "finished_twice") == ["pieces.pocket.edges.left"]


@pytest.mark.parametrize(
    ("ends", "kind", "numbers"),
    [("40 mm", "open_part", ("40 mm", "50 mm")), ("60 mm", "finished_twice", ("50 mm", "60 mm"))],
)
def test_parts_of_an_edge_follow_on_each_other(ends: str, kind: str, numbers: tuple[str, str]) -> None:
    document = pouch()
    document["seams"]["side"] = {
        "join": [{"edge": "front.right", "to": ends}],
        "to": [{"edge": "back.left", "from": f"height - {ends[:2]}"}],
    }
    document["seams"]["side_rest"] = {
        "join": [{"edge": "front.right", "from": "50 mm"}],
        "to": [{"edge": "back.left", "to": "height - 50"}],
    }
    document["steps"][3]["makes"] = ["side", "side_rest", "side_2", "bottom"]
    notes = [note for note in said(document) if note.kind == kind]
    assert [note.path for note in notes] == ["pieces.panel.edges.right", "pieces.panel.edges.left"]
    assert all(number in notes[0].problem for number in numbers)
    assert "side_rest" in notes[0].problem


def test_the_pocket_may_be_bound() -> None:
    assert said(bound_pocket()) == []


def test_an_edge_that_is_to_be_bound_needs_a_binding() -> None:
    document = changed(changed(bound_pocket(), "findings.trim", GONE), "steps.1.binds", [])
    assert places(document, "not_bound") == ["pieces.pocket.edges.top"]


def test_an_edge_is_bound_once() -> None:
    document = bound_pocket()
    document["findings"]["more"] = document["findings"]["trim"]
    document["steps"][1]["binds"] = ["trim", "more"]
    note = told(document, "bound_twice")
    assert (note.path, "trim and more" in note.problem) == ("pieces.pocket.edges.top", True)


def test_a_binding_goes_along_edges_that_are_said_to_be_bound() -> None:
    document = changed(bound_pocket(), "findings.trim.binding.along.1", "back.top")
    assert places(document, "bound_unsaid") == ["findings.trim.binding.along.1"]


def test_a_finish_belongs_to_an_edge_that_is_sewn() -> None:
    document = changed(pouch(), "pieces.pocket.edges.bottom.finish", "overcast")
    note = told(document, "idle_finish")
    assert (note.path, note.is_remark) == ("pieces.pocket.edges.bottom", True)
