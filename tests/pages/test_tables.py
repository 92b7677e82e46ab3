"""The tables of the editor: what they show of a document is what it says, and a form changes what it means to alone."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from api.operations.json_patch import patched
from api.pages.desk.changes import added_row, changed_rows, chosen_outline, moved_row, removed_row
from api.pages.desk.notation import ABSENT, CLEARANCES, FEES, MINUTES, PAIRS, SIDES, STOCK, UNLESS, USES, VALUE, WHEN
from api.pages.desk.order_tables import cloth_tables
from api.pages.desk.piece_tables import NEW_OUTLINES, edge_names, piece_tables
from api.pages.desk.rows import Notes, fields_of, lit_by, row_paths, shown_tables
from api.pages.desk.sections import DIMENSIONS, SECTIONS, SIZES, STEPS
from api.pages.desk.size_tables import size_tables
from api.pages.desk.table import Table, part

CURVED = Path(__file__).parents[1] / "grading" / "curved_bag.json"


@pytest.fixture(scope="module")
def documents(demo_documents: dict[str, dict[str, Any]]) -> list[dict[str, Any]]:
    return [*demo_documents.values(), json.loads(CURVED.read_text(encoding="utf-8"))]


def tables_of(document: dict[str, Any]) -> list[Table]:
    pieces = [table for name, piece in document["pieces"].items() for table in piece_tables(name, piece)]
    sizes = document.get("sizes", {})
    within = [table for name in sizes for table in size_tables(name, sizes[name])] if isinstance(sizes, dict) else []
    sections = [table for _, tables in SECTIONS.values() for table in tables]
    return [*sections, *cloth_tables(document), *pieces, *within]


def test_every_field_reads_back_what_it_shows(documents: list[dict[str, Any]]) -> None:
    looked_at = 0
    for document in documents:
        for table in tables_of(document):
            for row in row_paths(document, table):
                for field in fields_of(document, table):
                    value = part(document, (*row, *field.path))
                    if value is ABSENT or not field.notation.text(value):
                        continue
                    looked_at += 1
                    again = field.notation.value(field.notation.text(value))
                    # A number that the document has as text comes back as a number, and means the same.
                    assert again == value or str(again) == value, (row, field.key)
    assert looked_at > 1000


def test_a_form_that_was_sent_as_it_was_shown_changes_nothing(documents: list[dict[str, Any]]) -> None:
    for document in documents:
        for table in tables_of(document):
            (shown,) = shown_tables(document, [table], Notes())
            form = {
                f"f:{row.path}:{cell.field.key}": cell.text for row in shown.rows for cell in (*row.cells, *row.more)
            }
            assert not changed_rows(document, table, form).patch


def test_a_changed_field_is_one_small_operation(demo_documents: dict[str, dict[str, Any]]) -> None:
    document = demo_documents["market_tote"]
    form = {"f:dimensions.width:base": "400", "f:dimensions.width:limits.0": "220"}
    change = changed_rows(document, DIMENSIONS, form)
    assert change.patch == ({"op": "replace", "path": "/dimensions/width/base", "value": 400},)
    assert change.says == "dimension width, base size: 400"


def test_what_is_emptied_goes_and_takes_its_empty_holder_along() -> None:
    document = {"dimensions": {"width": {"base": 1, "limits": [1, 2]}}}
    once = patched(document, changed_rows(document, DIMENSIONS, {"f:dimensions.width:limits.0": ""}).patch)
    assert once["dimensions"]["width"]["limits"] == ["", 2]
    twice = patched(once, changed_rows(once, DIMENSIONS, {"f:dimensions.width:limits.1": " "}).patch)
    assert twice["dimensions"]["width"] == {"base": 1}


def test_a_part_that_was_not_there_is_made_with_what_holds_it() -> None:
    document: dict[str, Any] = {"pieces": {"panel": {"outline": deepcopy(NEW_OUTLINES["rectangle"])}}}
    edges = next(table for table in piece_tables("panel", document["pieces"]["panel"]) if table.name == "edges")
    change = changed_rows(document, edges, {"f:pieces.panel.edges.top:allowance": "25 mm"})
    assert patched(document, change.patch)["pieces"]["panel"]["edges"] == {"top": {"allowance": "25 mm"}}


def test_rows_are_added_moved_and_removed_in_their_order() -> None:
    document: dict[str, Any] = {"sizes": {"mini": {"scale": "7/10"}, "large": {"scale": "5/4"}}}
    more = patched(document, added_row(document, SIZES, "huge").patch)
    assert list(more["sizes"]) == ["mini", "large", "huge"]
    moved = patched(more, moved_row(more, SIZES, ("sizes", "huge"), -1).patch)
    assert list(moved["sizes"]) == ["mini", "huge", "large"]
    left = patched(moved, removed_row(moved, SIZES, ("sizes", "mini")).patch)
    assert list(left["sizes"]) == ["huge", "large"]
    assert not moved_row(left, SIZES, ("sizes", "huge"), -1).patch
    assert not added_row(left, SIZES, "large").patch


def test_findings_of_one_kind_move_among_themselves() -> None:
    zips = next(table for table in SECTIONS["findings"][1] if table.name == "zip")
    document: dict[str, Any] = {"findings": {"a": {"zip": {}}, "b": {"webbing": {}}, "c": {"zip": {}}}}
    moved = patched(document, moved_row(document, zips, ("findings", "c"), -1).patch)
    assert list(moved["findings"]) == ["c", "b", "a"]


def test_steps_are_a_list() -> None:
    document: dict[str, Any] = {}
    once = patched(document, added_row(document, STEPS, "").patch)
    twice = patched(once, added_row(once, STEPS, "").patch)
    told = patched(twice, changed_rows(twice, STEPS, {"f:steps.1:text": "Turn it.", "f:steps.1:action": "turn"}).patch)
    assert [step["action"] for step in told["steps"]] == ["sew", "turn"]
    moved = patched(told, moved_row(told, STEPS, ("steps", 1), -1).patch)
    assert [step["action"] for step in moved["steps"]] == ["turn", "sew"]


def test_an_outline_of_another_kind_has_its_own_edges() -> None:
    document: dict[str, Any] = {"pieces": {"base": {"outline": {"rectangle": ["a", "b"]}}}}
    for kind in NEW_OUTLINES:
        changed = patched(document, chosen_outline(document, "base", kind).patch)
        assert edge_names(changed["pieces"]["base"]), kind
    assert edge_names({"outline": NEW_OUTLINES["disc"]}) == ("rim",)


@pytest.mark.parametrize(
    ("notation", "text", "value"),
    [
        (VALUE, "360", 360),
        (VALUE, "12.5", 12.5),
        (VALUE, "width/2", "width/2"),
        (VALUE, "0.10", 0.1),
        (USES, "front, back mirrored", ["front", {"name": "back", "mirrored": True}]),
        (SIDES, "front.right", ["front.right"]),
        (SIDES, "front.right backward", ["front.right backward"]),
        (SIDES, "line front.floor", [{"line": "front.floor"}]),
        (SIDES, "a.b from 0 to w/2 forward", [{"edge": "a.b", "from": "0", "to": "w/2", "direction": "forward"}]),
        (PAIRS, "width = 300 mm; depth = 80", {"width": "300 mm", "depth": 80}),
        (CLEARANCES, "top = 110 mm\nbottom at least -60 mm", {"top": "110 mm", "bottom": {"at_least": "-60 mm"}}),
        (STOCK, "20 mm | 3/4 in, 25 mm", [{"metric": "20 mm", "imperial": "3/4 in"}, "25 mm"]),
        (WHEN, "front = zip, none", {"front": ["zip", "none"]}),
        (UNLESS, "yes", False),
        (FEES, "2.9 % + 0.30", {"share": "2.9 %", "fixed": "0.30"}),
        (FEES, "4 %", "4 %"),
        (MINUTES, "120", 120),
        (
            MINUTES,
            "40\n3/2 for each 100 mm of 2*width\nmini = 90",
            {"fixed": 40, "by_length": [{"of": "2*width", "per": "100 mm", "minutes": "3/2"}], "sizes": {"mini": 90}},
        ),
        (MINUTES, "40\n50", "40\n50"),
        (PAIRS, "not a pair", "not a pair"),
        (PAIRS, '{"width": 3}', {"width": 3}),
        (PAIRS, "{broken", "{broken"),
        (VALUE, "  ", ABSENT),
    ],
)
def test_what_is_written_in_a_field(notation: Any, text: str, value: Any) -> None:
    assert notation.value(text) == value


def test_a_fault_stands_at_its_field_or_else_at_its_row() -> None:
    document = {"dimensions": {"width": {"base": "wide"}}}
    faults = [
        {"path": "dimensions.width.base", "problem": "it is no length", "remedy": ""},
        {"path": "dimensions.width.sizzing", "problem": "it is not known", "remedy": ""},
    ]
    (shown,) = shown_tables(document, [DIMENSIONS], Notes.of({"faults": faults, "remarks": []}))
    (row,) = shown.rows
    assert [note["problem"] for note in row.cells[0].notes] == ["it is no length"]
    assert [note["problem"] for note in row.notes] == ["it is not known"]


@pytest.mark.parametrize(
    ("path", "lit"),
    [
        ("seams.side.join.0", "seam:side"),
        ("pieces.panel.edges.top.fate", "edge:panel.top"),
        ("pieces.panel.layers", "piece:panel"),
        ("coverings.flap.clear", "covering:flap"),
        ("dimensions.width", None),
    ],
)
def test_a_fault_lights_what_it_is_about(path: str, lit: str | None) -> None:
    assert lit_by(path) == lit


def test_a_document_of_odd_parts_is_shown_nevertheless() -> None:
    document = {
        "dimensions": 3,
        "pieces": {"a": None, "b": {"uses": [5], "outline": []}},
        "seams": {"s": []},
        "sizes": [],
    }
    for table in tables_of(document):
        shown_tables(document, [table], Notes())
