"""The size chart of a small pouch, its values worked out by hand, and of the demo patterns beside their grades."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

import grading
from grading.compare import Chart, ChartSize, Refusal
from grading.errors import Stopped
from tests.patterns import changed, pouch

DEMOS = sorted((Path(__file__).parents[3] / "demo_requests" / "patterns").glob("*.json"))


def pouch_with_zip() -> dict[str, Any]:
    """The pouch with room inside, a zip across its width, and sizes that are held back or cannot be made."""
    document = changed(pouch(), "inside", ["width - 10", "height - 5", "20 mm"])
    zip_ = {"length": "width", "exposed": "10 mm", "stock": "zips", "shortened": True}
    document = changed(document, "findings.main_zip", {"zip": zip_})
    sizes = {
        "tiny": {"scale": "1/2"},
        "wide": {"set": {"width": "150 mm", "height": "100 mm"}, "others": "at base"},
        "low": {"set": {"height": "40 mm"}},
        "coarse": {"scale": 1, "ruler": "25 mm"},
    }
    return changed(document, "sizes", sizes)


def charted(document: dict[str, Any]) -> Chart:
    return grading.size_chart(grading.read_document(document))


@pytest.fixture(scope="module")
def chart() -> Chart:
    return charted(pouch_with_zip())


def made(chart: Chart, name: str) -> ChartSize:
    size = chart.sizes[name]
    assert isinstance(size, ChartSize)
    return size


def test_all_named_sizes_are_in_the_chart_base_first(chart: Chart) -> None:
    assert list(chart.sizes) == ["base", "tiny", "wide", "low", "coarse"]


def test_finished_measures_of_the_base_are_those_of_the_draft(chart: Chart) -> None:
    base = made(chart, "base")
    assert base.dimensions == {"width": 120, "height": 90, "pocket_width": 120, "pocket_height": 50}
    assert {name: (box.width, box.height) for name, box in base.boxes.items()} == {
        "panel": (120, 90),
        "pocket": (120, 50),
    }
    assert base.inside is not None
    assert [length.low for length in base.inside] == [110, 85, 20]
    assert base.volume == 110 * 85 * 20
    assert base.held == ()


def test_the_least_zip_that_is_long_enough_is_bought(chart: Chart) -> None:
    zips = {name: made(chart, name).zips["main_zip"] for name in ("base", "tiny", "wide")}
    assert {name: (each.length, each.bought) for name, each in zips.items()} == {
        "base": (120, 120),
        "tiny": (87, 100),
        "wide": (150, 150),
    }


def test_what_held_a_size_back_stands_with_it(chart: Chart) -> None:
    tiny = made(chart, "tiny")  # see the card in the tests of answers: 87 wide, 64 high, the pocket 34 high
    assert {answer.name: answer.given for answer in tiny.held} == {"width": 87, "height": 64, "pocket_height": 34}
    assert any("card" in answer.says for answer in tiny.held)


def test_a_size_that_cannot_be_made_is_told_with_the_reason_and_the_others_are_given(chart: Chart) -> None:
    low = chart.sizes["low"]
    assert isinstance(low, Refusal)
    assert {"asked:height", "contents:card:along"} <= {relation.id for relation in low.relations}
    assert "height is 40 mm (you asked for it)" in low.says
    assert "ask for height of 64 mm in place of 40 mm" in low.remedy  # 30 mm down, 54 - 20 mm of card in the pocket
    assert isinstance(chart.sizes["wide"], ChartSize)


def test_a_size_on_a_coarse_ruler_lies_on_it(chart: Chart) -> None:
    # 120 and 90 are put on 125 and 100; 30 mm below the top become 25, 50 mm of the pocket stay.
    assert made(chart, "coarse").dimensions == {"width": 125, "height": 100, "pocket_width": 125, "pocket_height": 50}


def test_a_ruler_that_cannot_reach_is_told_with_one_that_can() -> None:
    document = changed(pouch(), "rules.loom", {"holds": "width == 120", "because": "it is woven to this width"})
    coarse = charted(changed(document, "sizes", {"coarse": {"scale": 1, "ruler": "50 mm"}})).sizes["coarse"]
    assert isinstance(coarse, Refusal)
    assert coarse.says == "on a ruler of 50 mm these cannot be kept: width == 120"
    assert coarse.remedy == "a ruler of 10 mm would do"


def test_a_size_on_another_ruler_is_written_on_its_own() -> None:
    document = changed(pouch(), "sizes", {"inches": {"scale": 1, "ruler": "1/4 in"}})
    written = grading.chart_document(charted(document))
    inches = written["sizes"][1]["made"]
    assert inches["ruler"] == "1/4 in"
    assert inches["dimensions"]["width"] == "4 3/4 in"  # 120 mm are 4.724 in


def test_strips_and_linings_are_no_main_pieces() -> None:
    document = changed(pouch(), "pieces.pocket.layers", [{"material": "lining"}])
    assert list(made(charted(document), "base").boxes) == ["panel"]
    strip = {"strip": True, "outline": {"rectangle": [300, 20]}, "layers": [{"material": "main"}]}
    assert list(made(charted(changed(document, "pieces.tie", strip)), "base").boxes) == ["panel"]


def test_the_first_material_is_the_main_one_where_none_is_named_so() -> None:
    document = json.loads(json.dumps(pouch()).replace('"main"', '"canvas"'))
    assert list(made(charted(document), "base").boxes) == ["panel", "pocket"]


def test_a_pattern_without_sizes_has_its_base() -> None:
    document = pouch()
    del document["sizes"]
    assert list(charted(document).sizes) == ["base"]


def test_the_table_has_a_column_for_each_size_and_says_why(chart: Chart) -> None:
    rows = list(csv.reader(io.StringIO(grading.chart_csv(grading.chart_document(chart)))))
    head, *body = rows
    assert head == ["part", "measure", "title", "base", "tiny", "wide", "low", "coarse"]
    assert {len(row) for row in rows} == {len(head)}
    found = {(row[0], row[1]): row[3:6] for row in body}
    assert found["dimension", "width"] == ["120 mm", "87 mm", "150 mm"]
    assert found["inside", "height"] == ["85 mm", "59 mm", "95 mm"]
    assert found["finished", "pocket height"] == ["50 mm", "34 mm", "50 mm"]
    assert found["zip, bought", "main_zip"] == ["120 mm", "100 mm", "150 mm"]
    assert body[0][head.index("low")] == "cannot be made"
    notes = [row for row in body if row[0] == "note"]
    assert any("40 mm" in row[head.index("low")] for row in notes)


def test_a_spreadsheet_takes_no_cell_for_a_formula() -> None:
    document = changed(pouch(), "dimensions.width.says", "=HYPERLINK(1)")
    table = grading.chart_csv(grading.chart_document(charted(document)))
    assert "'=HYPERLINK(1)" in table
    assert ",=HYPERLINK" not in table


def test_a_draft_is_said_to_be_calculated_and_not_yet_sewn() -> None:
    drafted = grading.chart_document(charted(pouch()))
    published = grading.chart_document(charted(changed(pouch(), "edition", {"state": "published"})))
    assert (drafted["state"], drafted["says"]) == ("drafted", "calculated, not yet sewn")
    assert (published["state"], published["says"]) == ("published", "")


def test_a_chart_may_be_stopped() -> None:
    with pytest.raises(Stopped):
        grading.size_chart(grading.read_document(pouch()), stop=lambda: True)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_charts_of_demo_patterns_have_the_numbers_of_their_grades(path: Path) -> None:
    pattern = grading.read_document(json.loads(path.read_text(encoding="utf-8")))
    written = grading.chart_document(grading.size_chart(pattern))
    assert len(written["sizes"]) == 1 + len(pattern.sizes)
    for size in written["sizes"]:
        grade = grading.grade_document(grading.grade_size(pattern, size=size["name"]))
        made = size["made"]
        assert made["dimensions"] == {name: each["value"] for name, each in grade["dimensions"].items()}
        assert made["stock"].items() <= grade["stock"].items()
        for name, box in made["pieces"].items():
            assert box == {side: grade["pieces"][name][side] for side in ("width", "height")}


def test_the_mini_of_the_day_pack_names_the_foam_that_holds_its_corner_back() -> None:
    path = next(path for path in DEMOS if path.stem == "ferry_day_pack")
    written = grading.chart_document(charted(json.loads(path.read_text(encoding="utf-8"))))
    held = {size["name"]: size["made"]["held"] for size in written["sizes"]}
    assert [(each["dimension"], each["wished"], each["given"]) for each in held["mini"]] == [
        ("corner", "38.5 mm", "40 mm")  # 7/10 × 55 = 38.5, and the rule says 40
    ]
    assert "rule:foamed_corner" in [relation["id"] for relation in held["mini"][0]["because"]]
    assert held["mini"][0]["says"].startswith("corner: 40 mm instead of 38.5 mm, since foam")
    assert held["base"] == held["large"] == []
