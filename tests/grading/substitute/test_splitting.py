"""A rectangle in two: what named it names its parts, and every join still holds."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import Conflict, RequestFaults
from grading.exact import read_length
from grading.pipeline import check_document
from tests.grading.substitute.support import graded, kept, made, panel_pouch, unproven
from tests.patterns import GONE, Json, changed, pouch, sheet

Documents = dict[str, Json]


def refused(document: Json, *changes: Json) -> Any:
    """The one fault of changes that cannot be made."""
    with pytest.raises(RequestFaults) as found:
        made(document, *changes)
    (fault,) = found.value.faults
    return fault


DEMO_SPLITS = [
    ("market_tote", {"split": "pocket", "at": "pocket_height/2"}),
    ("market_tote", {"split": "rail_sleeve", "at": "40 mm", "from": "bottom"}),
    ("market_tote", {"split": "facing", "at": "60 mm", "from": "left"}),
    ("market_tote", {"split": "divider", "at": "divider_height/3", "from": "bottom"}),
    ("market_tote", {"split": "tab", "at": "tab_width/2", "from": "left"}),
    ("market_tote", {"split": "lining", "at": "lining_height - 30"}),
    ("market_tote", {"split": "base_sheet", "at": "(width - 6)/2", "from": "right", "names": ["one", "other"]}),
    ("allotment_tool_roll", {"split": "loop_strip", "at": "loop_width/2", "from": "left"}),
    ("allotment_tool_roll", {"split": "mesh_pocket", "at": "mesh_height/2"}),
    ("allotment_tool_roll", {"split": "tie", "at": "tie_length/2", "from": "left"}),
    ("allotment_tool_roll", {"split": "pot_wall", "at": "pot_height/2"}),
    ("ferry_day_pack", {"split": "base", "at": "depth/2"}),
    ("ferry_day_pack", {"split": "front_pocket", "at": "60 mm"}),
    ("ferry_day_pack", {"split": "handle_under", "at": "handle_under_length/2", "from": "left"}),
    ("ferry_day_pack", {"split": "inner_tab", "at": "inner_tab_length/2", "from": "left"}),
]


@pytest.mark.parametrize(("name", "change"), DEMO_SPLITS, ids=[f"{name}-{each['split']}" for name, each in DEMO_SPLITS])
def test_a_demo_with_a_split_piece_is_proven_in_all_its_sizes(
    name: str, change: Json, demo_documents: Documents
) -> None:
    assert unproven(made(demo_documents[name], change)) == []


@pytest.mark.parametrize("number", [0, 5, 7, 11])
def test_a_demo_with_a_split_piece_is_as_sound_a_draft_as_before(number: int, demo_documents: Documents) -> None:
    name, change = DEMO_SPLITS[number]
    assert check_document(kept(demo_documents[name], change)).faults == ()


def test_the_parts_together_have_the_cloth_of_the_whole(demo_documents: Documents) -> None:
    whole = graded(demo_documents["ferry_day_pack"], size="mini")["pieces"]["front_pocket"]
    document = made(demo_documents["ferry_day_pack"], {"split": "front_pocket", "at": "60 mm"})
    grade = graded(document, size="mini")["pieces"]
    parts = [grade["front_pocket_upper_part"], grade["front_pocket_lower_part"]]
    assert sum(read_length(part["height"]) for part in parts) == read_length(whole["height"])
    assert {part["width"] for part in parts} == {whole["width"]}


def test_a_split_panel_is_sewn_by_its_parts_in_the_order_of_the_seam() -> None:
    document = made(pouch(), {"split": "panel", "at": "85 mm", "names": ["body", "foot"]})
    assert list(document["pieces"]) == ["body", "foot", "pocket"]
    assert document["pieces"]["body"]["uses"] == ["front_top", "back_top"]
    assert document["seams"]["side"]["join"] == ["front_top.right", "front_bottom.right"]
    assert document["seams"]["side"]["to"] == ["back_top.left", "back_bottom.left"]
    assert document["seams"]["front_split"]["join"] == ["front_top.bottom"]
    assert document["seams"]["front_split"]["to"] == ["front_bottom.top"]
    assert document["seams"]["bottom"]["notches"] == [["front_bottom.middle", "back_bottom.middle"]]
    assert document["coverings"]["pocket_on_front"]["over"] == "front_top"
    assert unproven(document) == []


def test_edges_keep_what_is_said_of_them_and_the_new_ones_have_the_seam_allowance() -> None:
    document = made(pouch(), {"split": "panel", "at": "85 mm", "allowance": "6 mm"})
    top, bottom = document["pieces"]["panel_top"]["edges"], document["pieces"]["panel_bottom"]["edges"]
    assert top["top"] == {"allowance": "25 mm", "fate": "hemmed twice"}
    assert "top" not in {edge for edge, said in bottom.items() if said.get("fate")}
    assert top["right"] == bottom["right"] == {"finish": "overcast"}
    assert top["bottom"] == bottom["top"] == {"allowance": "6 mm", "finish": "overcast"}


def test_parts_of_edges_are_counted_anew_on_either_side_of_the_split() -> None:
    document = changed(pouch(), "seams.side.join", [{"edge": "front.right", "to": "60 mm"}])
    document = changed(document, "seams.side.to", [{"edge": "back.left", "from": "height - 60"}])
    low = {"join": [{"edge": "front.right", "from": "60 mm"}], "to": [{"edge": "back.left", "to": "height - 60"}]}
    document = changed(document, "seams.side_low", low)
    document = changed(document, "steps.3.makes", ["side", "side_low", "side_2", "bottom"])
    document = made(document, {"split": "panel", "at": "82 mm"})
    assert document["seams"]["side"]["join"] == [{"edge": "front_top.right", "to": "60 mm"}]
    assert document["seams"]["side_low"]["join"] == [
        {"edge": "front_top.right", "from": "60 mm"},
        "front_bottom.right",
    ]
    assert (
        document["seams"]["side"]["to"] == [{"edge": "back_top.left", "from": "82 mm - 60 mm"}]
        or unproven(document) == []
    )
    assert unproven(document) == []


def test_a_notch_is_measured_along_its_part() -> None:
    document = panel_pouch(
        notches={"high": {"edge": "left", "at": "height - 20"}, "low": {"edge": "left", "at": "5 mm"}}
    )
    document = changed(document, "seams.bottom.notches", GONE)
    document = made(document, {"split": "panel", "at": "83 mm"})
    assert document["pieces"]["panel_top"]["notches"] == {"high": {"edge": "left", "at": "0*width + 83 - 20"}}
    grade = graded(document)["pieces"]
    assert grade["panel_top"]["notches"]["high"]["at"] == "63 mm"
    assert grade["panel_bottom"]["notches"]["low"]["at"] == "5 mm"


def test_a_notch_on_the_split_is_refused_with_its_place() -> None:
    fault = refused(
        panel_pouch(**{"notches.side": {"edge": "left", "at": "middle"}}), {"split": "panel", "at": "height/2"}
    )
    assert fault.path == "changes.0.at"
    assert "the notch side of panel lies on the split, 45 mm from the top" in fault.problem
    assert fault.remedy


def test_a_covering_across_the_split_is_refused_with_places_that_would_do() -> None:
    fault = refused(pouch(), {"split": "panel", "at": "60 mm"})
    assert (fault.path, fault.problem) == (
        "changes.0.at",
        "pocket_on_front lies across the split: from 30 mm to 80 mm from the top at the base size",
    )
    assert fault.remedy == "split panel at or before 30 mm or at or beyond 80 mm from the top"


def test_a_line_runs_on_in_both_parts_and_one_below_moves_up() -> None:
    across = {"from": [40, 0], "to": [40, "-height"], "kind": "quilting"}
    document = made(panel_pouch(**{"lines.rib": across}), {"split": "panel", "at": "25 mm"})
    assert document["pieces"]["panel_top"]["lines"]["rib"]["to"] == [40, "-25 mm"]
    assert document["pieces"]["panel_bottom"]["lines"]["rib"]["from"] == [40, "0"]
    lines = graded(document)["pieces"]["panel_bottom"]["lines"]
    assert (lines["floor"]["from"], lines["rib"]["length"]) == (["0 mm", "-55 mm"], "65 mm")


def test_a_line_across_the_split_that_is_sewn_is_refused() -> None:
    document = panel_pouch(**{"lines.rib": {"from": [40, 0], "to": [40, "-height"]}})
    document = changed(document, "seams.rib", {"join": ["pocket.left"], "to": [{"line": "front.rib"}], "ease": "40 mm"})
    assert (
        "the line front.rib of seams.rib.to lies across the split"
        in refused(document, {"split": "panel", "at": 25}).problem
    )


def test_a_pocket_that_is_split_is_laid_by_both_parts() -> None:
    document = made(pouch(), {"split": "pocket", "at": "20 mm", "from": "bottom"})
    laid = document["coverings"]
    assert laid["pocket_on_front_top"]["clear"] == {"top": "30 mm"}
    assert laid["pocket_on_front_bottom"]["clear"] == {"top": "pocket_height + 30 - 20"}
    assert document["steps"][-2]["lays"] == ["pocket_on_front_top", "pocket_on_front_bottom"]
    assert "{pocket_on_front_top.clear.top}" in document["steps"][-2]["text"]
    assert unproven(document) == []


def test_what_must_fit_into_a_split_pocket_becomes_rules_with_the_same_reason() -> None:
    document = made(changed(pouch(), "contents.card.says", "a card"), {"split": "pocket", "at": "20 mm"})
    assert document["contents"] == {}
    assert document["rules"]["card_across"] == {"holds": "pocket_width >= 87 mm", "because": "a card"}
    assert document["rules"]["card_along"] == {"holds": "pocket_height >= 34 mm", "because": "a card"}
    with pytest.raises(Conflict):
        graded(document, request={"set": {"pocket_height": "33 mm"}})


def test_the_parts_are_joined_before_anything_else_is_sewn_to_them() -> None:
    document = changed(pouch(), "steps", [{"text": "Cut.", "action": "cut", "uses": ["pocket"]}, *pouch()["steps"]])
    document = made(document, {"split": "pocket", "at": "20 mm"})
    assert [step["action"] for step in document["steps"]][:3] == ["cut", "sew", "sew"]
    first_hem = next(n for n, step in enumerate(document["steps"]) if "pocket_top.top" in step.get("finishes", ()))
    joined = next(n for n, step in enumerate(document["steps"]) if step.get("makes") == ["pocket_split"])
    assert document["steps"][joined]["text"].startswith(
        "Join the top and the bottom of the pocket, right sides together."
    )
    assert joined < first_hem


def test_measures_in_steps_add_up_the_parts() -> None:
    text = "{panel.width} by {panel.height}, {front.left.length}, {panel.top.allowance}, {{kept}}, {height}."
    document = made(changed(pouch(), "steps.0.text", text), {"split": "panel", "at": "85 mm"})
    told = graded(document)["steps"]
    assert "120 mm by 85 mm + 5 mm, 5 mm + 85 mm, 25 mm, {kept}, 90 mm." in told


def test_a_distance_from_the_far_side_is_told_over_both_parts() -> None:
    document = changed(pouch(), "steps.2.text", "It ends {pocket_on_front.clear.bottom} above the foot.")
    told = graded(made(document, {"split": "panel", "at": "85 mm"}))["steps"]
    assert "It ends 5 mm + 5 mm above the foot." in told


def test_on_the_fold_a_piece_is_split_across_the_fold_only() -> None:
    document = panel_pouch(on_fold=True)
    assert made(document, {"split": "panel", "at": "85 mm"})["pieces"]["panel_bottom"]["on_fold"] is True
    fault = refused(document, {"split": "panel", "at": "40 mm", "from": "left"})
    assert fault.path == "changes.0.from"
    assert "cut on the fold" in fault.problem


def test_a_strip_stays_a_strip() -> None:
    document = panel_pouch(strip=True)
    parts = made(document, {"split": "panel", "at": "85 mm"})["pieces"]
    assert parts["panel_top"]["strip"] and parts["panel_bottom"]["strip"]


def test_a_mirrored_use_lies_under_the_part_that_is_seen() -> None:
    document = panel_pouch(uses=["front", {"name": "back", "mirrored": True}])
    document = changed(document, "seams.side", {"join": ["front.right"], "to": ["back.right forward"]})
    document = changed(document, "seams.side_2", {"join": ["front.left"], "to": ["back.left forward"]})
    document = changed(document, "seams.bottom", {"join": ["front.bottom"], "to": ["back.bottom forward"]})
    patch = {"outline": {"rectangle": [20, 20]}, "edges": {}, "layers": [{"material": "main"}]}
    patch["edges"] = {edge: {"fate": "raw"} for edge in ("top", "right", "bottom", "left")}
    document = changed(document, "pieces.patch", patch)
    document = changed(document, "coverings.patch", {"piece": "patch", "over": "back", "clear": {"left": 5, "top": 40}})
    document = changed(document, "coverings.pocket_on_front", GONE)
    document = changed(document, "pieces.pocket", GONE)
    document = changed(document, "contents", {})
    document = changed(document, "steps", [])
    for edge in ("pocket_width", "pocket_height"):
        document = changed(document, f"dimensions.{edge}", GONE)
    document = made(document, {"split": "panel", "at": "30 mm", "from": "right"})
    assert document["coverings"]["patch"]["over"] == "back_right"
    assert document["pieces"]["panel_right"]["uses"] == ["front_right", {"name": "back_right", "mirrored": True}]
    assert unproven(document) == []


def test_what_is_there_by_choice_is_split_by_choice(demo_documents: Documents) -> None:
    document = made(demo_documents["market_tote"], {"split": "rail_sleeve", "at": "sleeve_height/2"})
    when = {"sleeve": "with"}
    assert document["pieces"]["rail_sleeve_top"]["when"] == document["seams"]["rail_sleeve_split"]["when"] == when
    assert unproven(document, {"scale": 1, "options": {"sleeve": "without"}}) == []


def test_a_one_way_print_stays_the_right_way_up_in_both_parts(demo_documents: Documents) -> None:
    document = made(demo_documents["market_tote"], {"split": "pocket", "at": "pocket_height/2"})
    assert [document["pieces"][f"pocket_{end}"]["up"] for end in ("top", "bottom")] == ["top", "top"]
    assert document["seams"]["pocket_split"]["match"] is True
    document = made(demo_documents["market_tote"], {"split": "tab", "at": "20 mm", "from": "left"})
    assert [document["pieces"][f"tab_{end}"]["up"] for end in ("left", "right")] == ["top", "top"]


def test_a_motif_lies_in_both_parts_where_it_lay_in_the_whole() -> None:
    document = changed(panel_pouch(motif={"point": ["width/2", "-60"]}), "materials.main.repeat", {"along": "160 mm"})
    parts = made(document, {"split": "panel", "at": "85 mm"})["pieces"]
    assert parts["panel_top"]["motif"]["point"] == ["width/2", "-60"]
    assert parts["panel_bottom"]["motif"]["point"] == ["width/2", "0*width + 85 - 60"]


def test_a_piece_wider_than_the_cloth_becomes_two_that_fit() -> None:
    document = changed(pouch(), "materials.main.usable_width", "105 mm")
    document = changed(document, "dimensions.width", {"base": 112, "sizing": "fixed"})
    for path in ("coverings.pocket_on_front", "pieces.pocket", "contents", "steps", "sizes", "pieces.panel.lines"):
        document = changed(document, path, GONE)
    for name in ("pocket_width", "pocket_height"):
        document = changed(document, f"dimensions.{name}", GONE)
    with pytest.raises(Conflict):
        graded(document)
    document = kept(document, {"split": "panel", "at": "width/4", "from": "left"})
    rows = [row for row in graded(document)["cut_list"] if row["material"] == "main"]
    assert sorted(row["across"] for row in rows) == ["104 mm", "48 mm"]
    assert unproven(document) == []


@pytest.mark.parametrize("ruler", ["1/8 in", "1/16 in", "5 mm"])
def test_constants_counted_anew_hold_on_other_rulers(ruler: str) -> None:
    document = changed(pouch(), "pieces.panel.notches.high", {"edge": "left", "at": "height - 12.7"})
    document = changed(document, "coverings.pocket_on_front.clear.top", "18.3 mm")
    document = changed(document, "dimensions.pocket_height.base", 41)
    document = made(
        document, {"split": "panel", "at": "83.4 mm"}, {"split": "pocket", "at": "12.3 mm", "from": "bottom"}
    )
    assert unproven(changed(document, "sizes", {}), {"scale": "6/5", "ruler": ruler}) == []


def test_names_that_are_taken_are_not_given_twice(demo_documents: Documents) -> None:
    document = made(demo_documents["ferry_day_pack"], {"split": "inner_upper", "at": "inner_upper_height/2"})
    assert "inner_upper_upper_part" in document["pieces"]
    fault = refused(pouch(), {"split": "pocket", "at": 20, "names": ["front", "rest"]})
    assert (fault.path, fault.problem) == ("changes.0.names", "the name 'front' is taken among the uses")


@pytest.mark.parametrize(
    ("change", "path", "problem"),
    [
        ({"split": "nothing", "at": 10}, "split", "no piece is named 'nothing'"),
        ({"split": "panel", "at": "95 mm"}, "at", "95 mm from the top does not divide panel"),
        ({"split": "panel", "at": "pi*20"}, "at", "pi or a root"),
        ({"split": "panel", "at": "nowhere"}, "at", "no dimension is named 'nowhere'"),
        ({"split": "pocket", "at": 20, "names": ["a", "a"]}, "names", "both parts have one name"),
    ],
)
def test_places_and_names_that_cannot_be_are_refused(change: Json, path: str, problem: str) -> None:
    fault = refused(pouch(), change)
    assert fault.path == f"changes.0.{path}"
    assert problem in fault.problem
    assert fault.remedy


def test_shapes_without_straight_sides_are_not_split(demo_documents: Documents) -> None:
    for piece in ("pot_base", "flap"):
        fault = refused(demo_documents["allotment_tool_roll"], {"split": piece, "at": "20 mm"})
        assert fault.path == "changes.0.split"
        assert "straight across from each other" in fault.problem


def test_a_size_that_would_be_lost_is_refused() -> None:
    document = changed(pouch(), "sizes.low", {"set": {"height": "84 mm"}})
    made(document, {"split": "panel", "at": "85 mm"})
    with pytest.raises(RequestFaults) as found:
        kept(document, {"give": [{"piece": "pocket"}], "material": "lining"}, {"split": "panel", "at": "85 mm"})
    (fault,) = found.value.faults
    assert fault.path == "changes.1"
    assert "with it the size low could not be made" in fault.problem
    assert fault.remedy


def test_what_a_notch_by_choice_asks_for_is_asked_by_choice() -> None:
    document = changed(pouch(), "options", {"strap": {"choices": ["with", "without"]}})
    document = changed(document, "dimensions.strap", {"base": 84, "when": {"strap": "with"}})
    notch = {"edge": "right", "at": "strap", "when": {"strap": "with"}}
    document = made(changed(document, "pieces.panel.notches.strap", notch), {"split": "panel", "at": "82 mm"})
    (rule,) = (rule for name, rule in document["rules"].items() if name.startswith("panel_split"))
    assert (rule["holds"], rule["when"]) == ("strap >= 82 mm", {"strap": "with"})
    assert unproven(document, {"scale": 1, "options": {"strap": "without"}}) == []


def test_what_is_made_anew_is_a_draft_whatever_the_old_edition_was() -> None:
    edition = {"state": "published", "licence": "own use", "errata": [{"says": "mind the gap"}]}
    document = made(changed(pouch(), "edition", edition), {"split": "pocket", "at": "20 mm"})
    assert document["edition"] == {"state": "drafted", "licence": "own use"}


def curved() -> Json:
    """A hanging bag of one sheet with a slanted arc for a foot, which is raw all round."""
    edges = [
        {"name": "top", "to": ["width", 0]},
        {"name": "right", "to": ["width", "-height"]},
        {"name": "foot", "to": [0, "-height"], "arc": "right", "rise": "width/4"},
        {"name": "left", "to": [0, 0]},
    ]
    raw = {edge: {"fate": "raw"} for edge in ("top", "right", "foot", "left")}
    return sheet({"start": [0, 0], "edges": edges}, edges=raw)


def test_a_path_with_a_curved_foot_is_split_where_its_sides_are_straight() -> None:
    document = made(curved(), {"split": "sheet", "at": "height/3", "names": ["upper", "lower"]})
    assert [edge["name"] for edge in document["pieces"]["upper"]["outline"]["edges"]] == [
        "left",
        "top",
        "right",
        "bottom",
    ]
    assert [edge["name"] for edge in document["pieces"]["lower"]["outline"]["edges"]] == [
        "right",
        "foot",
        "left",
        "top",
    ]
    assert unproven(document, {"scale": "7/5"}) == []
    assert "straight from 0 mm to 90 mm" in refused(curved(), {"split": "sheet", "at": "100 mm"}).problem


def test_a_part_of_a_ring_is_not_split() -> None:
    document = sheet({"sector": {"outer": "height", "inner": "width/4", "turn": "1/4"}})
    document = changed(
        document, "pieces.sheet.edges", {edge: {"fate": "raw"} for edge in ("outer", "right", "inner", "left")}
    )
    assert "part of a ring" in refused(document, {"split": "sheet", "at": "20 mm"}).problem
