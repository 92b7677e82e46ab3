"""The cut list: what a cutting table is told, worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from grading.pipeline import grade_document, grade_size, read_document
from tests.patterns import changed, pouch, sheet

Json = dict[str, Any]
RECTANGLE = {"rectangle": ["width", "height"]}


def cut_list(document: Json) -> list[Json]:
    rows: list[Json] = grade_document(grade_size(read_document(document), size="base"))["cut_list"]
    return rows


def row(document: Json) -> Json:
    (only,) = cut_list(document)
    return only


def with_layer(**layer: Any) -> Json:
    return sheet(RECTANGLE, layers=[{"material": "main", **layer}])


def test_a_plain_piece_is_cut_with_its_allowances() -> None:
    assert row(sheet(RECTANGLE)) == {
        "letter": "A",
        "piece": "sheet",
        "layer": "main",
        "material": "main",
        "uses": ["sheet"],
        "count": 1,
        "mirrored": 0,
        "kind": "measures",
        "grain": "along",
        "across": "140 mm",
        "along": "110 mm",
        "allowance": "included",
        "trim": None,
        "finished": {"across": "120 mm", "along": "90 mm"},
        "on_fold": None,
        "strips": None,
        "step": None,
    }


def test_a_quilted_layer_has_three_measures() -> None:
    # Rough cut, trim to, finished: 25 mm larger all round than the trimmed piece.
    found = row(with_layer(oversize="25 mm"))
    assert (found["across"], found["along"]) == ("190 mm", "160 mm")
    assert found["trim"] == {"across": "140 mm", "along": "110 mm"}
    assert found["finished"] == {"across": "120 mm", "along": "90 mm"}


def test_foam_ends_inside_the_stitching_line_and_has_no_allowance() -> None:
    found = row(with_layer(inset="3 mm"))
    assert (found["across"], found["along"], found["allowance"]) == ("114 mm", "84 mm", "none")
    assert found["trim"] is None


def test_grain_across_turns_the_piece_on_the_cloth() -> None:
    found = row(sheet(RECTANGLE, grain="across", layers=[{"material": "main", "oversize": 5}]))
    assert (found["across"], found["along"]) == ("120 mm", "150 mm")
    assert found["trim"] == {"across": "110 mm", "along": "140 mm"}
    assert found["finished"] == {"across": "90 mm", "along": "120 mm"}


@pytest.mark.parametrize(("grain", "folded"), [("along", ("70 mm", "110 mm")), ("across", ("55 mm", "140 mm"))])
def test_a_piece_on_the_fold_is_half_as_wide_across_the_grain(grain: str, folded: tuple[str, str]) -> None:
    found = row(sheet(RECTANGLE, grain=grain, on_fold=True))
    assert found["on_fold"] == {"across": folded[0], "along": folded[1]}


def test_uses_are_counted_and_mirrored_ones_apart() -> None:
    uses = ["left", {"name": "right", "mirrored": True}, "middle"]
    found = row(sheet(RECTANGLE, uses=uses, layers=[{"material": "main", "count": 2}]))
    assert (found["count"], found["mirrored"], found["uses"]) == (4, 2, ["left", "right", "middle"])


@pytest.mark.parametrize(
    ("length", "strips"),
    [
        # A strip as cut of L across a cloth of W = 500 with joins of 10: ceil((L - 20) / (W - 20)).
        (480, None),
        (481, {"count": 2, "total": "521 mm", "joins": 1}),
        (960, {"count": 2, "total": "1000 mm", "joins": 1}),
        (961, {"count": 3, "total": "1021 mm", "joins": 2}),
        (1440, {"count": 3, "total": "1500 mm", "joins": 2}),
    ],
)
def test_a_long_strip_is_joined_from_several_widths_of_cloth(length: int, strips: Json | None) -> None:
    document = changed(
        sheet({"rectangle": ["width", 50]}, {"width": length}, strip=True), "materials.main.usable_width", 500
    )
    found = row(document)
    assert found["across"] == f"{length + 20} mm"
    assert found["strips"] == strips
    if strips is not None:
        # All strips together, less what the joins take, are as long as the strip.
        total = int(strips["total"].split()[0])
        assert total - 20 * strips["joins"] == length + 20
        assert total <= 500 * strips["count"]


def test_no_strips_are_counted_where_the_cloth_is_not_known() -> None:
    assert row(sheet({"rectangle": ["width", 50]}, {"width": 9000}, strip=True))["strips"] is None


@pytest.mark.parametrize(
    ("outline", "fields"),
    [
        ({"trapezoid": {"top": "width", "bottom": "width - 40", "height": "height"}}, {}),
        (RECTANGLE, {"grain": "bias"}),
    ],
)
def test_slanted_and_bias_pieces_are_cut_round_templates(outline: Json, fields: Json) -> None:
    assert row(sheet(outline, **fields))["kind"] == "template"


def test_rows_come_by_material_largest_first() -> None:
    document = changed(pouch(), "materials.lining", {"says": "cotton"})
    rows = cut_list(document)
    assert [(item["letter"], item["layer"]) for item in rows] == [("A", "main"), ("B", "main"), ("A", "lining")]
    areas = [float(item["across"].split()[0]) * float(item["along"].split()[0]) for item in rows[:2]]
    assert areas == sorted(areas, reverse=True)
    assert [item["step"] for item in rows] == [1, 2, 1]


def test_a_binding_cut_from_cloth_is_a_row_of_its_own() -> None:
    document = changed(pouch(), "pieces.pocket.edges.top", {"fate": "bound"})
    binding = {"width": "36 mm", "along": ["pocket.top"], "join": "25.5 mm", "material": "lining"}
    document = changed(document, "findings.edging", {"binding": binding, "count": 1})
    document = changed(document, "steps.1.finishes", ["pocket.bottom"])
    document = changed(document, "steps.1.binds", ["edging"])
    document = changed(document, "materials.lining.usable_width", "100 mm")
    document = changed(document, "pieces.panel.layers", [{"material": "main"}])
    found = next(item for item in cut_list(document) if item["piece"] == "edging")
    assert found["letter"] == "C"
    assert (found["layer"], found["uses"], found["grain"], found["step"]) == ("strip", [], "bias", 2)
    # 120 mm of pocket and 26 mm (25.5 put on the ruler) to join: 146 mm, of strips of 100 mm joined by 10 mm.
    assert (found["across"], found["along"], found["allowance"]) == ("146 mm", "36 mm", "none")
    assert found["strips"] == {"count": 2, "total": "166 mm", "joins": 1}


def test_edges_without_allowance_are_cut_on_the_stitching_line() -> None:
    fates = {
        "top": {"fate": "folded"},
        "right": {"fate": "selvage"},
        "bottom": {"fate": "bound"},
        "left": {"fate": "raw"},
    }
    found = row(sheet(RECTANGLE, edges=fates))
    assert (found["across"], found["along"]) == ("130 mm", "90 mm")


def test_the_boxed_panel_is_cut_by_its_outermost_edges() -> None:
    outline = {"start": [0, 0], "edges": [
        {"name": "top", "to": ["width", 0]}, {"name": "right", "to": ["width", "-height"]},
        {"name": "right_in", "to": ["width - 20", "-height"]},
        {"name": "right_up", "to": ["width - 20", "-height - 20"]},
        {"name": "bottom", "to": [20, "-height - 20"]}, {"name": "left_up", "to": [20, "-height"]},
        {"name": "left_in", "to": [0, "-height"]}, {"name": "left", "to": [0, 0]}]}  # fmt: skip
    found = row(sheet(outline, edges={"top": {"allowance": 40}, "right_up": {"allowance": 30}}))
    # The cut-out's own allowance (30 mm beyond width - 20) reaches as far as the side's (10 mm beyond width).
    assert (found["across"], found["along"]) == ("140 mm", "160 mm")
