"""Settings of layouts: defaults, faults, and what the document of a layout says of them."""

from __future__ import annotations

import json
from typing import Any

import pytest

from grading.cloth import lay_out, read_settings
from grading.errors import LayoutFaults, PieceDoesNotFit, Stopped
from grading.pipeline import grade_document, grade_size, read_document
from grading.verify import judge_layouts
from grading.workroom import layouts_csv, layouts_document, layouts_of
from tests.grading.cloth.laid import Json, bag, laid, rectangle
from tests.grading.cloth.laid import layouts_of as documents_of

PIECES = {"panel": rectangle(300, 200), "band": rectangle(900, 40)}


def test_settings_are_written_in_full() -> None:
    document = documents_of(
        bag(PIECES), {"gap": "2 mm", "cloths": {"main": {"direction": "one-way"}}, "effort": "quick"}
    )
    assert document["settings"] == {
        "style": "scissors",
        "gap": "2 mm",
        "edge": "0 mm",
        "spare": "5 %",
        "bias": "strips",
        "effort": "quick",
        "seed": 0,
        "widths": ["900 mm", "1100 mm", "1120 mm", "1370 mm", "1500 mm"],
        "offcut": "50 mm",
        "cloths": {"main": {"direction": "one-way"}},
    }
    assert document["cloths"]["main"]["direction"] == "one-way"


@pytest.mark.parametrize(
    ("settings", "path", "what"),
    [
        ({"style": "laser"}, "settings.style", "scissors"),
        ({"gap": "-1 mm"}, "settings.gap", "out of range"),
        ({"gap": "wide"}, "settings.gap", "no length"),
        ({"edge": "1 m"}, "settings.edge", "out of range"),
        ({"edge": "60 mm", "cloths": {"main": {"usable_width": "100 mm"}}}, "settings.edge", "100 mm usable, 60 mm"),
        ({"spare": "200 %"}, "settings.spare", "out of range"),
        ({"offcut": "0 mm"}, "settings.offcut", "out of range"),
        ({"seed": -1}, "settings.seed", "0"),
        ({"effort": 3}, "settings.effort", "quick"),
        ({"widths": ["0 mm"]}, "settings.widths.0", "out of range"),
        ({"colour": "red"}, "settings.colour", "no such field"),
        ({"cloths": {"lining": {}}}, "settings.cloths.lining", "no piece is cut from 'lining'"),
        ({"cloths": {"main": {"usable_width": "0 mm"}}}, "settings.cloths.main.usable_width", "out of range"),
        (
            {"cloths": {"main": {"repeat": {"across": "1100 mm"}}}},
            "settings.cloths.main.repeat.across",
            "1100 mm",
        ),
    ],
)
def test_settings_that_cannot_be_are_told_with_their_place(settings: Json, path: str, what: str) -> None:
    with pytest.raises(LayoutFaults) as refused:
        documents_of(bag(PIECES), settings)
    faults = {fault.path: fault for fault in refused.value.faults}
    assert path in faults
    assert what in faults[path].problem and faults[path].remedy


def test_all_faults_of_settings_are_told_at_once() -> None:
    with pytest.raises(LayoutFaults) as refused:
        read_settings({"gap": "wide", "spare": "much", "style": "laser"})
    assert {fault.path for fault in refused.value.faults} == {"settings.gap", "settings.spare", "settings.style"}


def test_materials_without_a_width_are_named_apart() -> None:
    document = bag(PIECES | {"lid": rectangle(90, 90, layers=[{"material": "board"}])})
    document["materials"]["board"] = {"says": "grey board"}
    layouts = documents_of(document, {"effort": "quick", "widths": []})
    assert list(layouts["cloths"]) == ["main"]
    assert layouts["without"] == [{"material": "board", "says": "grey board"}]


def test_a_gap_is_not_cut_off_at_the_edges_of_the_cloth() -> None:
    panel = rectangle(498, 100, uses=["one", "two"])
    assert laid(bag({"panel": panel}), {"gap": "4 mm", "effort": "quick"})["length"] == "100 mm"
    assert laid(bag({"panel": panel}, {"direction": "two-way"}), {"gap": "5 mm"})["length"] == "205 mm"


def test_pieces_keep_clear_of_the_edges() -> None:
    layout = laid(bag({"panel": rectangle(490, 100, uses=["one", "two"])}), {"edge": "10 mm", "effort": "quick"})
    assert (layout["width"], [piece["x"] for piece in layout["pieces"]]) == ("980 mm", ["10 mm", "500 mm"])


def test_a_layout_can_be_stopped() -> None:
    grade = grade_size(read_document(bag(PIECES)), size="base")
    with pytest.raises(Stopped):
        lay_out(grade, {}, stop=lambda: True)


def test_progress_is_told_by_cloth() -> None:
    told: list[Any] = []
    grade = grade_size(read_document(bag(PIECES)), size="base")
    layouts = layouts_of(grade, {"effort": "quick"}, progress=lambda *found: told.append(found))
    lengths = [length for _, length, _ in told]
    assert {role for role, _, _ in told} == {"main"}
    assert lengths == sorted(set(lengths), reverse=True)
    found = layouts.cloths["main"].arrangement
    assert (lengths[-1], told[-1][2]) == (found.length, found.least)


def test_the_table_has_a_row_for_each_piece() -> None:
    document = bag(PIECES)
    table = layouts_csv(
        layouts_document(layouts_of(grade_size(read_document(document), size="base"), {"effort": "quick"}))
    )
    lines = table.splitlines()
    assert lines[0].startswith("material,letter,piece,layer,copy")
    assert len(lines) == 3
    assert lines[1].split(",")[:5] == ["main", "A", "panel", "main", "1"]


def test_one_cloth_may_be_cut_otherwise_than_the_others(demo_documents: dict[str, Json]) -> None:
    """The interfacing is too narrow to be folded: what is told helps."""
    grade = grade_size(read_document(demo_documents["market_tote"]), size="base")
    folded = {"style": "folded", "effort": "quick", "widths": []}
    with pytest.raises(PieceDoesNotFit) as refused:
        layouts_of(grade, folded)
    assert "settings.cloths.interfacing.style: scissors" in str(refused.value)
    laid = layouts_document(layouts_of(grade, folded | {"cloths": {"interfacing": {"style": "scissors"}}}))
    styles = {role: cloth["style"] for role, cloth in laid["cloths"].items()}
    assert (styles["lining"], styles["interfacing"]) == ("folded", "scissors")
    written = json.loads(json.dumps(grade_document(grade)))
    assert judge_layouts(demo_documents["market_tote"], written, json.loads(json.dumps(laid))).holds
