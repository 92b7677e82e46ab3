"""What must be done before what."""

from __future__ import annotations

from typing import Any

from tests.grading.check.sound import Json, places, pouch, said, told
from tests.patterns import changed


def in_order(document: Json, *order: int) -> Json:
    """The document with its steps in another order."""
    return changed(document, "steps", [document["steps"][number] for number in order])


def quilted(*actions: str) -> Json:
    """The pouch quilted and fused, with these actions before all others."""
    document = pouch()
    document["materials"]["stiff"] = {"kind": "interfacing"}
    document["pieces"]["panel"]["layers"] = [{"material": "main", "oversize": "20 mm"}, {"material": "stiff"}]
    first: list[Any] = [{"text": "Do it.", "action": action, "uses": ["front", "back"]} for action in actions]
    return changed(document, "steps", first + document["steps"])


def test_a_pocket_is_laid_before_the_seam_that_catches_it() -> None:
    note = told(in_order(pouch(), 0, 1, 3, 2, 4), "out_of_order")
    assert (note.path, note.is_remark) == ("steps.3.lays", False)
    assert "step 4" in note.problem
    assert "step 3" in note.problem


def test_a_pocket_is_hemmed_before_it_is_sewn_in() -> None:
    assert {*places(in_order(pouch(), 0, 2, 3, 1, 4), "out_of_order")} == {"steps.3.finishes"}


def test_a_pocket_is_hemmed_before_it_is_laid() -> None:
    notes = [note for note in said(in_order(pouch(), 0, 2, 1, 3, 4)) if note.kind == "finished_late"]
    assert [(note.path, note.is_remark) for note in notes] == [("steps.2.finishes", True)] * 2


def topstitched(*order: int) -> Json:
    """The pouch with its pocket stitched down along its lower edge in a step of its own, the sixth."""
    document = changed(
        pouch(),
        "pieces.panel.lines.floor",
        {"from": [0, "-30 - pocket_height"], "to": ["width", "-30 - pocket_height"]},
    )
    document["seams"]["floor"] = {"join": ["pocket.bottom"], "to": [{"line": "front.floor"}], "kind": "topstitched"}
    document["steps"].append({"text": "Stitch it down.", "action": "topstitch", "makes": ["floor"]})
    return in_order(document, *order)


def test_a_pocket_is_stitched_down_after_it_is_hemmed_and_laid() -> None:
    assert said(topstitched(0, 1, 2, 5, 3, 4)) == []
    assert "steps.3.lays" in places(topstitched(0, 1, 5, 2, 3, 4), "out_of_order")
    assert "steps.2.finishes" in places(topstitched(0, 5, 1, 2, 3, 4), "out_of_order")


def test_a_seam_of_what_is_laid_is_sewn_before_it_is_caught() -> None:
    document = pouch()
    for edge in ("top", "bottom", "left", "right"):
        document["pieces"]["pocket"]["edges"].pop(edge, None)
    document["pieces"]["pocket"]["edges"]["bottom"] = {"fate": "hemmed once"}
    document["pieces"]["facing"] = {
        "outline": {"rectangle": ["pocket_width", "20 mm"]},
        "edges": {"bottom": {"fate": "raw"}, "left": {"fate": "raw"}, "right": {"fate": "raw"}},
        "layers": [{"material": "main"}],
    }
    document["seams"]["facing_top"] = {"join": ["pocket.top"], "to": ["facing.top"]}
    document["pieces"]["facing"]["edges"]["top"] = {"finish": "overcast"}
    document["steps"][1] = {"text": "Face it.", "action": "sew", "makes": ["facing_top"], "finishes": ["pocket.bottom"]}
    assert said(document) == []
    document["steps"][1]["makes"] = []
    document["steps"][4]["makes"] = ["facing_top"]
    assert places(document, "out_of_order") == ["steps.4.makes"]


def test_a_quilted_piece_is_fused_quilted_and_trimmed_before_it_is_sewn() -> None:
    assert said(quilted("fuse", "quilt", "trim")) == []


def test_trimming_comes_after_quilting() -> None:
    assert {*places(quilted("fuse", "trim", "quilt"), "out_of_order")} == {"steps.2.uses"}


def test_what_is_cut_larger_is_trimmed() -> None:
    note = told(quilted("fuse", "quilt"), "never_trimmed")
    assert (note.path, note.is_remark) == ("pieces.panel.layers", True)


def test_interfacing_is_fused() -> None:
    assert places(quilted("quilt", "trim"), "never_fused") == ["pieces.panel.layers"]


def test_nothing_is_fused_after_it_is_sewn() -> None:
    assert {*places(in_order(quilted("quilt", "trim", "fuse"), 0, 1, 3, 4, 5, 6, 2, 7), "out_of_order")} == {
        "steps.6.uses"
    }


def test_a_binding_over_a_seam_comes_after_the_seam() -> None:
    document = changed(pouch(), "pieces.panel.edges.bottom.finish", "bound")
    along = ["front.bottom", "back.bottom"]
    document["findings"]["trim"] = {"binding": {"width": 40, "along": along, "cut_on": "bought"}}
    assert said(changed(document, "steps.4.binds", ["trim"])) == []
    note = told(changed(document, "steps.2.binds", ["trim"]), "bound_early")
    assert (note.path, note.is_remark) == ("steps.2.binds", True)
