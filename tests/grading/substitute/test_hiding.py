"""What a pocket hides is cut from a plainer cloth, and the pocket is still caught all along."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import RequestFaults
from grading.exact import read_length
from grading.pipeline import check_document
from tests.grading.substitute.support import ADD_PLAIN, graded, kept, made, unproven
from tests.patterns import GONE, Json, changed, pouch

Documents = dict[str, Json]


def hidden(document: Json, covering: str, **more: Any) -> Json:
    return made(document, ADD_PLAIN, {"hide": covering, "material": "plain", **more})


def refused(document: Json, covering: str, **more: Any) -> Any:
    with pytest.raises(RequestFaults) as found:
        hidden(document, covering, **more)
    (fault,) = found.value.faults
    return fault


def outer(piece: Json) -> str:
    return str(piece["layers"][0]["material"])


@pytest.mark.parametrize(
    ("name", "covering", "parts"),
    [
        ("market_tote", "pocket_on_front", ["front_top", "front_middle", "front_bottom"]),
        ("ferry_day_pack", "front_pocket_on_front", ["front_panel_top", "front_panel_bottom"]),
        ("ferry_day_pack", "bottle_pocket_on_side", ["side_left_top", "side_left_bottom"]),
        ("ferry_day_pack", "back_pocket_on_back", ["back_panel_top", "back_panel_bottom"]),
    ],
)
def test_a_demo_with_plain_cloth_under_a_pocket_is_proven_in_all_its_sizes(
    name: str, covering: str, parts: list[str], demo_documents: Documents
) -> None:
    document = kept(demo_documents[name], ADD_PLAIN, {"hide": covering, "material": "plain"})
    assert [piece for piece in parts if outer(document["pieces"][piece]) == "plain"] == [parts[1]]
    assert unproven(document) == []
    assert check_document(document).faults == ()


def test_the_seam_lies_under_the_pocket_by_the_margin() -> None:
    document = hidden(
        changed(pouch(), "coverings.pocket_on_front.clear", {"bottom": 0}), "pocket_on_front", margin="7 mm"
    )
    pieces = graded(document)["pieces"]
    assert (pieces["front_top"]["height"], pieces["front_bottom"]["height"]) == ("47 mm", "43 mm")
    assert pieces["pocket"]["edges"]["left_upper"]["length"] == "7 mm"
    assert unproven(document) == []


def test_only_the_outer_layer_is_plainer(demo_documents: Documents) -> None:
    document = hidden(demo_documents["ferry_day_pack"], "front_pocket_on_front")
    layers = document["pieces"]["front_panel_bottom"]["layers"]
    assert [layer["material"] for layer in layers] == ["plain", "foam", "lining"]
    assert layers[0]["oversize"] == "25 mm"


def test_a_pocket_between_two_visible_parts_hides_the_middle() -> None:
    document = hidden(pouch(), "pocket_on_front", margin="5 mm")
    pieces = graded(document)["pieces"]
    heights = [read_length(pieces[f"front_{end}"]["height"]) for end in ("top", "middle", "bottom")]
    assert heights == [35, 40, 15]
    assert outer(document["pieces"]["front_middle"]) == "plain"
    assert document["seams"]["side"]["join"] == ["front_top.right", "front_middle.right", "front_bottom.right"]
    assert [document["coverings"][f"pocket_on_front_{end}"]["over"] for end in ("top", "middle", "bottom")] == [
        "front_top",
        "front_middle",
        "front_bottom",
    ]
    assert unproven(document) == []


def test_other_uses_of_the_piece_stay_whole() -> None:
    document = hidden(pouch(), "pocket_on_front")
    assert document["pieces"]["panel"]["uses"] == ["back"]
    assert document["seams"]["side"]["to"] == ["back.left"]


def test_the_two_seams_are_told_by_the_parts_that_they_join() -> None:
    texts = [step["text"] for step in hidden(pouch(), "pocket_on_front")["steps"] if "Join" in step["text"]]
    assert texts == [
        "Join the bottom and the middle of the front, right sides together. Overcast the allowances and press them to "
        "one side.",
        "Join the top and the middle of the front, right sides together. Overcast the allowances and press them to one "
        "side.",
    ]


def test_what_is_hidden_loses_its_place_on_the_print(demo_documents: Documents) -> None:
    document = hidden(demo_documents["ferry_day_pack"], "front_pocket_on_front")
    assert "motif" not in document["pieces"]["front_panel_bottom"]
    assert "motif" in document["pieces"]["front_panel_top"]
    assert "match" not in document["seams"]["front_panel_split"]


def test_sideways_hiding_of_a_mirrored_use_is_proven() -> None:
    document = changed(pouch(), "pieces.panel.uses", [{"name": "front", "mirrored": True}, "back"])
    document = changed(document, "seams.side", {"join": ["front.right"], "to": ["back.right forward"]})
    document = changed(document, "seams.side_2", {"join": ["front.left"], "to": ["back.left forward"]})
    document = changed(document, "seams.bottom", {"join": ["front.bottom"], "to": ["back.bottom forward"]})
    document = changed(document, "dimensions.pocket_height.base", 90)
    document = changed(document, "dimensions.pocket_height.sizing", "decided")
    document = changed(document, "pieces.pocket.edges", {"left": {"fate": "hemmed once"}, "top": {"fate": "raw"}})
    document = changed(document, "coverings.pocket_on_front.caught", {"bottom": "bottom", "right": "left"})
    document = changed(document, "coverings.pocket_on_front.clear", {"top": 0, "left": 40})
    document = changed(document, "steps.1.finishes", ["pocket.left"])
    document = changed(document, "dimensions.pocket_width", {"base": 80, "sizing": "decided"})
    assert unproven(document) == []
    document = hidden(document, "pocket_on_front", margin="10 mm")
    assert outer(document["pieces"]["front_left"]) == "plain"
    assert graded(document)["pieces"]["front_right"]["width"] == "50 mm"
    assert unproven(document) == []


def mesh_pocket() -> Json:
    return changed(pouch(), "materials.main.kind", "mesh")


@pytest.mark.parametrize(
    ("document", "covering", "more", "path", "problem"),
    [
        (pouch(), "nothing", {}, "hide", "no covering is named 'nothing'"),
        (mesh_pocket(), "pocket_on_front", {}, "hide", "which hides nothing"),
        (pouch(), "pocket_on_front", {"margin": "25 mm"}, "margin", "hides 50 mm at the base size"),
        (pouch(), "pocket_on_front", {"material": "main"}, "material", "is cut from main already"),
        (
            changed(
                changed(pouch(), "coverings.pocket_on_front.caught", GONE), "coverings.pocket_on_front.clear.left", 5
            ),
            "pocket_on_front",
            {},
            "hide",
            "does not reach from side to side",
        ),
    ],
)
def test_what_hides_nothing_is_refused(document: Json, covering: str, more: Json, path: str, problem: str) -> None:
    fault = refused(document, covering, **more)
    assert fault.path == f"changes.1.{path}"
    assert problem in fault.problem
    assert fault.remedy


def test_a_pocket_that_may_be_left_out_hides_nothing(demo_documents: Documents) -> None:
    fault = refused(demo_documents["market_tote"], "sleeve_on_back")
    assert "sleeve_on_back is not there (with sleeve: without)" in fault.problem
