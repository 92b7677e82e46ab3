"""The whole check."""

from __future__ import annotations

import random

import pytest

from grading.check import Note, merged
from grading.errors import SizewrightError, Stopped
from grading.pipeline import check_document, grade_size, read_document
from grading.proof import prove
from tests.conftest import DEMO_NAMES
from tests.grading.check.sound import Json, lined_bag, places, pouch, said, told, zipped_bag
from tests.grading.check.unfinished import unfinished_tote
from tests.patterns import changed

DELIBERATE = {
    ("unfinished_edge", "pieces.pocket.edges.bottom", False),
    ("no_step", "pieces.panel.edges.top", False),
    ("unused_finding", "findings.handle", False),
    *(("raw_inside", f"seams.{seam}", False) for seam in ("side", "side_2", "bottom", "box", "box_2")),
    ("print_match", "coverings.pocket_on_front", True),
}


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_there_is_nothing_to_say_of_the_demo_patterns(name: str, demo_documents: dict[str, Json]) -> None:
    found = check_document(demo_documents[name])
    assert (found.faults, found.remarks) == ((), ())
    assert found.relations > 100
    assert found.claims > found.relations


@pytest.mark.parametrize("pattern", [pouch, lined_bag, zipped_bag])
def test_there_is_nothing_to_say_of_the_small_ones(pattern: object) -> None:
    assert callable(pattern)
    assert said(pattern()) == []


def test_every_fault_that_was_left_in_the_tote_is_named_and_no_other() -> None:
    found = {(note.kind, note.path, note.is_remark) for note in said(unfinished_tote())}
    assert found >= DELIBERATE
    assert {note for note in found if not note[2]} == {note for note in DELIBERATE if not note[2]}


def test_the_hems_of_front_and_back_are_both_named() -> None:
    problems = [note.problem for note in said(unfinished_tote()) if note.kind == "no_step"]
    assert ["front.top" in problems[0], "back.top" in problems[1]] == [True, True]


def test_every_note_has_a_place_a_problem_and_a_remedy() -> None:
    assert all(note.path and note.problem and note.remedy for note in said(unfinished_tote()))


def test_faults_of_form_come_alone_and_all_at_once() -> None:
    document = changed(changed(pouch(), "seams.side.join", ["front.rigth"]), "dimensions.width.base", "wide")
    found = check_document(changed(pouch(), "seams.side.join", ["front.rigth"]))
    assert [(note.kind, note.path) for note in found.faults] == [("document", "seams.side.join.0")]
    assert check_document(document).faults[0].path == "dimensions.width.base"


def test_faults_of_drawing_are_named() -> None:
    document = changed(pouch(), "steps.0.text", "Hem the tops by {front.wide}.")
    assert places(document, "drawing") == ["steps.0.text"]


def test_what_is_wrong_with_one_choice_names_the_choice() -> None:
    document = changed(pouch(), "options", {"pocket": {"choices": ["with", "without"]}})
    for part in ("pieces.pocket", "coverings.pocket_on_front", "dimensions.pocket_width", "contents.card"):
        document = changed(document, f"{part}.when", {"pocket": "with"})
    document = changed(document, "dimensions.pocket_height.when", {"pocket": "with"})
    assert said(document) == []
    document["steps"][3] = {**document["steps"][3], "when": {"pocket": "with"}}
    notes = [note for note in said(document) if note.kind == "no_step"]
    assert [note.path for note in notes] == ["seams.side", "seams.side_2", "seams.bottom"]
    assert all("pocket: without" in note.problem for note in notes)


def test_what_is_used_with_one_choice_is_used() -> None:
    document = changed(pouch(), "options", {"stiff": {"choices": ["no", "yes"]}})
    document["materials"]["felt"] = {"says": "stiff felt"}
    document["pieces"]["panel"]["layers"].append({"material": "felt", "when": {"stiff": "yes"}})
    assert said(document) == []


def test_notes_of_all_choices_come_once() -> None:
    note = Note("seams.side", "too long", "shorten it", "raw_inside")
    other = Note("seams.top", "too short", "lengthen it", "raw_inside")
    found = merged([(" (a)", frozenset(), [note]), (" (b)", frozenset(), [note, other])])
    assert [each.problem for each in found] == ["too long", "too short (b)"]


@pytest.mark.parametrize("seed", range(30))
def test_a_draft_with_parts_missing_is_told_of_and_never_breaks_the_check(
    seed: int, demo_documents: dict[str, Json]
) -> None:
    chosen = random.Random(seed)
    document = demo_documents[chosen.choice(DEMO_NAMES)]
    sections = ("seams", "coverings", "findings", "steps", "pieces", "rules", "dimensions")
    for _ in range(chosen.randint(1, 3)):
        section = chosen.choice(sections)
        part = document[section]
        name = chosen.choice(list(part) if isinstance(part, dict) else range(len(part)))
        document = _without(document, section, name)
    found = check_document(document)
    assert all(note.path and note.problem and note.remedy for note in (*found.faults, *found.remarks))
    assert bool(found.faults) == (not is_proven(document) or any(note.kind in UNPROVEN for note in found.faults))


UNPROVEN = {"raw_inside", "unused_piece", "unused_finding", "closed_up", "out_of_order", "upside_down", "size_conflict"}
"""Kinds of faults that no claim of a base size is about."""


def is_proven(document: Json) -> bool:
    """Whether the base size can be graded and all of its claims hold."""
    try:
        return all(claim.holds for claim in prove(grade_size(read_document(document), size="base")))
    except SizewrightError:
        return False


def _without(document: Json, section: str, name: object) -> Json:
    part = document[section]
    if isinstance(part, dict):
        return {**document, section: {key: value for key, value in part.items() if key != name}}
    return {**document, section: [value for place, value in enumerate(part) if place != name]}


def test_a_seam_left_out_is_noticed(demo_documents: dict[str, Json]) -> None:
    tote = _without(demo_documents["market_tote"], "seams", "bottom")
    tote["steps"] = [
        {**step, "makes": [name for name in step.get("makes", []) if name != "bottom"]} for step in tote["steps"]
    ]
    tote["steps"][7] = {**tote["steps"][7], "text": "Close the sides."}
    assert "front.bottom and back.bottom" in told(tote, "unfinished_edge").problem


def test_a_check_that_is_stopped_tells_nothing_half() -> None:
    asked = iter([False, False])
    with pytest.raises(Stopped):
        check_document(pouch(), stop=lambda: next(asked, True))
