"""What is written down and then never used."""

from __future__ import annotations

import pytest

from tests.grading.check.sound import Json, places, pouch, told
from tests.patterns import changed

PLANTED = {
    "unused_dimension": ("dimensions.spare", {"base": 40}),
    "unused_stock": ("stock.webbing", ["20 mm", "25 mm"]),
    "unused_material": ("materials.spare", {"says": "nothing is cut from it"}),
    "unused_notch": ("pieces.panel.notches.spare", {"edge": "left", "at": "30 mm"}),
    "unused_line": ("pieces.panel.lines.spare", {"from": [0, -40], "to": ["width", -40]}),
}


@pytest.mark.parametrize("kind", PLANTED)
def test_what_nothing_uses_is_remarked_on_at_its_place(kind: str) -> None:
    path, part = PLANTED[kind]
    note = told(changed(pouch(), path, part), kind)
    assert (note.path, note.is_remark) == (path, True)


USED: list[tuple[str, str, object]] = [
    ("unused_dimension", "rules.wide.holds", "width >= spare"),
    ("unused_dimension", "steps.0.text", "Press {spare} under."),
    ("unused_stock", "dimensions.pocket_height", {"base": 50, "sizing": "stock", "stock": "webbing"}),
    ("unused_material", "pieces.pocket.layers.1", {"material": "spare"}),
    ("unused_notch", "seams.side_2.notches", [["front.spare", "back.other"]]),
    ("unused_notch", "pieces.panel.notches.spare.at", 0),
    ("unused_line", "pieces.panel.lines.spare.kind", "fold"),
]


@pytest.mark.parametrize(("kind", "path", "value"), USED)
def test_what_is_used_anywhere_is_not(kind: str, path: str, value: object) -> None:
    document: Json = changed(pouch(), *PLANTED[kind])
    if "rules" in path:
        document["rules"]["wide"] = {"because": "it must be"}
    if "stock" in kind:
        document["stock"]["webbing"] = ["50 mm", "60 mm"]
    if path.startswith("seams"):
        document["pieces"]["panel"]["notches"]["other"] = {"edge": "right", "at": "height - 30"}
    assert places(changed(document, path, value), kind, "document", "drawing") == []


def test_a_quilting_line_is_used_where_the_piece_is_quilted() -> None:
    document = changed(pouch(), "pieces.panel.lines.across", {**PLANTED["unused_line"][1], "kind": "quilting"})  # type: ignore[dict-item]
    assert places(document, "unused_line") == ["pieces.panel.lines.across"]
    document["steps"].insert(0, {"text": "Quilt.", "action": "quilt", "uses": ["front", "back"]})
    assert places(document, "unused_line") == []


def test_a_handle_mark_is_used_where_a_step_tells_its_measure() -> None:
    document = changed(pouch(), "dimensions.apart", {"base": 40, "sizing": "fixed"})
    document["pieces"]["panel"]["notches"]["mark"] = {"edge": "top", "at": "(width - apart)/2"}
    assert places(document, "unused_notch") == ["pieces.panel.notches.mark"]
    assert places(changed(document, "steps.0.text", "Marks {apart} apart."), "unused_notch") == []
