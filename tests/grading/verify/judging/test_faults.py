"""Faults of every family, each brought into a sound pattern alone: the verdict must name it."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest

from grading.verify import UnreadableInput, judge
from tests.grading.verify import pouch
from tests.grading.verify.judging.test_verdict import leaves, with_leaf

Change = Callable[[dict[str, Any]], Any]


def put(path: str, value: Any) -> Change:
    def change(pattern: dict[str, Any]) -> None:
        here: Any = pattern
        *keys, last = path.split(".")
        for key in keys:
            here = here[int(key)] if isinstance(here, list) else here.setdefault(key, {})
        if isinstance(here, list):
            here[int(last)] = value
        elif value is None:
            del here[last]
        else:
            here[last] = value

    return change


RIGHT_TO_LEFT = ["front.bottom_right", "front.right", "front.bottom", "front.bottom_left", "front.left"]
FAULTS: list[tuple[str, Change, str]] = [
    ("limits:width:most", put("dimensions.width.limits", [150, 190]), "190 mm"),
    ("limits:height:least", put("dimensions.height.limits", [160, 190]), "at least 160 mm"),
    ("fixed:height", put("dimensions.height", {"base": 152, "sizing": "fixed"}), "must be 152 mm within 1 mm"),
    (
        "outline:pocket:left",
        put("pieces.pocket.outline.rectangle.1", "pocket_height/120"),
        "0.5 mm must be at least 1 mm",
    ),
    ("seam:front_round", put("seams.front_round.ease", "4 mm"), "must be 474 mm within 1.5 mm"),
    ("seam:back_round", put("seams.back_round.ease", "2 %"), ""),
    ("seam:back_round", put("seams.back_round.fullness", "3/2"), ""),
    ("seam:back_round", put("seams.back_round.tolerance", "0.2 mm"), "within 0.2 mm"),
    ("notch:front_round:0", put("pieces.panel.notches.foot.at", "60 mm"), "notches meet"),
    ("covering:pocket_on_front:caught:left:from", put("coverings.pocket_on_front.clear.top", "70 mm"), ""),
    ("covering:pocket_on_front:caught:right", put("coverings.pocket_on_front.takes_up", {"across": "8 mm"}), ""),
    ("covering:pocket_on_front:clear:bottom", put("coverings.pocket_on_front.clear.bottom", "70 mm"), "70 mm"),
    ("covering:pocket_on_front:clear:bottom", put("coverings.pocket_on_front.clear.bottom", {"at_least": "61 mm"}), ""),
    ("contents:card:across", put("contents.card.object.0", "189 mm"), "card fits across"),
    ("contents:card:along", put("contents.card.stands_out", "29 mm"), "card fits along"),
    ("contents:hand", put("contents.hand", {"opening": "width", "least": "201 mm"}), "opening"),
    ("finding:loop:length", put("findings.loop.webbing.length", "width - 200"), "loop"),
    ("rule:shape", put("rules.shape.holds", "width >= height + 51"), "it lies on its long side"),
    ("rule:shape", put("rules.shape.holds", "width <= 4*corner"), "it lies on its long side"),
    ("rule:shape", put("rules.shape.holds", "width == height"), "it lies on its long side"),
    ("cloth:panel:main", put("materials.main.usable_width", "219 mm"), "not wider than the cloth"),
    ("chain:front_round:join", put("seams.front_round.join", RIGHT_TO_LEFT), "end of front.bottom_right"),
    ("chain:front_round:to", put("seams.front_round.closed", True), "start of band.top"),
    ("fate:pocket.top", put("pieces.pocket.edges.top", {"allowance": "20 mm"}), "neither joined, nor caught"),
    ("fate:pocket.left", put("pieces.pocket.edges.left", {"fate": "raw"}), "only one"),
    ("fate:band.top", put("seams.again", {"join": ["front.top"], "to": ["band.top"]}), "overlap or leave a gap"),
    ("fate:band.top", put("seams.front_round.to.0", {"edge": "band.top", "to": "470 mm"}), "overlap or leave a gap"),
    ("fate:front.top:bound", put("pieces.panel.edges.top.fate", "bound"), "no binding goes along it"),
    (
        "fate:band.left:bound",
        put("findings.tape", {"binding": {"width": "20 mm", "along": ["band.left"], "cut_on": "bought"}}),
        "does not say that it is bound",
    ),
    ("order:seam:back_round", put("steps.1.makes", ["front_round"]), "0 steps"),
    ("order:covering:pocket_on_front", put("steps.0.lays", []), "0 steps"),
    ("order:finish:pocket.top", put("steps.0.finishes", ["pocket.top", "pocket.top"]), "2 steps"),
    ("order:covering:pocket_on_front:front_round", put("steps.2.lays", ["pocket_on_front"]), "after seam front_round"),
    (
        "order:binding:tape",
        put("findings.tape", {"binding": {"width": "20 mm", "along": ["band.left"], "cut_on": "bought"}}),
        "0 steps",
    ),
    ("allowance:front_round", put("pieces.band.edges.top", {"allowance": "12 mm"}), "10 mm and 12 mm"),
    ("ruler:pieces.band.notches.late.at", put("pieces.band.notches.late", {"edge": "top", "at": "band_length/4"}), ""),
    ("ruler:pieces.pocket.half", put("pieces.pocket.edges.left", {"allowance": "11 mm"}), ""),
    ("closed:pocket", put("pieces.pocket.outline", {"rectangle": ["pocket_width", "0 - pocket_height"]}), "clockwise"),
    (
        "closed:panel:fold",
        put("pieces.panel.outline.rounded_rectangle.corners.bottom_left", "corner/2"),
        "not the same on both sides",
    ),
]


@pytest.mark.parametrize(("about", "change", "words"), FAULTS, ids=[about for about, _, _ in FAULTS])
def test_a_fault_of_each_family_is_named(about: str, change: Change, words: str) -> None:
    pattern = pouch.pattern()
    if about in {"ruler:pieces.pocket.half", "closed:panel:fold"}:
        pattern["pieces"]["pocket"]["on_fold"] = pattern["pieces"]["panel"]["on_fold"] = True
    if about == "order:covering:pocket_on_front:front_round":
        pattern["steps"][0]["lays"] = []
    assert about not in {claim.about for claim in judge(pattern, pouch.grade()).failing}
    change(pattern)
    failing = {claim.about: claim for claim in judge(pattern, pouch.grade()).failing}
    assert about in failing
    assert failing[about].kind == about.partition(":")[0]
    assert words in failing[about].says


def test_an_outline_that_crosses_itself_is_named() -> None:
    pattern = pouch.pattern()
    bow = [["pocket_width", "0"], ["0", "-pocket_height"], ["pocket_width", "-pocket_height"], ["0", "0"]]
    names = ("top", "right", "bottom", "left")
    edges = [{"name": name, "to": to} for name, to in zip(names, bow, strict=True)]
    pattern["pieces"]["pocket"]["outline"] = {"start": ["0", "0"], "edges": edges}
    pattern["coverings"]["pocket_on_front"] |= {"caught": {}, "clear": {"left": 0, "top": 30}}
    (claim,) = (claim for claim in judge(pattern, pouch.grade()).claims if claim.about == "closed:pocket")
    assert not claim.holds
    assert "touches itself: right and left" in claim.says


def test_an_ease_that_the_ruler_moves_too_far_is_named() -> None:
    pattern = pouch.pattern() | {"ruler": "5 mm"}
    pattern["seams"]["front_round"] |= {"ease": "2 mm", "tolerance": "1 mm"}
    failing = {claim.about: claim.says for claim in judge(pattern, pouch.grade()).failing}
    assert "an ease of 2 mm is sewn as 5 mm" in failing["ease:front_round"]
    assert (
        "altered does not say that seams.front_round.ease goes from 2 mm to 5 mm"
        in failing["printed:altered:seams.front_round.ease"]
    )


def test_a_stock_size_that_is_not_in_stock_is_named() -> None:
    pattern, grade = pouch.pattern(), pouch.grade()
    pattern["stock"] = {"tape": [20, 60, 75]}
    pattern["dimensions"]["depth"] |= {"sizing": "stock", "stock": "tape"}
    grade["stock"] = {"depth": "60 mm"}
    assert judge(pattern, grade).holds
    grade["stock"] = {"depth": "61 mm"}
    assert "stock:depth:listed" in {claim.about for claim in judge(pattern, grade).failing}
    grade["stock"] = {"depth": "75 mm"}
    assert "stock:depth" in {claim.about for claim in judge(pattern, grade).failing}


def test_what_was_asked_is_judged_within_one_step() -> None:
    pattern, grade = pouch.pattern(), pouch.grade()
    grade["size"] = {"name": None, "request": {"set": {"width": "202 mm"}, "others": "at base"}}
    failing = {claim.about: claim for claim in judge(pattern, grade).failing}
    assert (failing["asked:width"].left, failing["asked:width"].right) == ("200 mm", "202 mm")
    grade["size"]["request"]["set"]["width"] = "201 mm"
    assert "asked:width" not in {claim.about for claim in judge(pattern, grade).failing}


def test_a_named_size_answers_the_request_of_the_pattern() -> None:
    grade = pouch.grade()
    grade["size"]["name"] = "small"
    assert "printed:size.request" in {claim.about for claim in judge(pouch.pattern(), grade).failing}
    grade["size"]["name"] = "huge"
    assert "printed:size.name" in {claim.about for claim in judge(pouch.pattern(), grade).failing}
    grade["size"]["name"] = None
    assert judge(pouch.pattern(), grade).holds


@pytest.mark.parametrize(
    "change",
    [
        put("format", 2),
        put("dimensions.width.base", float("nan")),
        put("dimensions.width.base", 0),
        put("dimensions.width.base", "21 m"),
        put("dimensions.width.hue", "red"),
        put("dimensions.pi", {"base": 3}),
        put("pieces.panel.outline.rounded_rectangle.width", "__import__('os')"),
        put("pieces.panel.outline.rounded_rectangle.width", "pi*width"),
        put("pieces.panel.outline.rounded_rectangle.width", "(" * 200 + ")" * 200),
        put("pieces.panel.uses", ["front", "band"]),
        put("pieces.panel.notches.foot.edge", "heel"),
        put("seams.front_round.join.0", "front.heel"),
        put("seams.front_round.notches.0.0", "front.heel"),
        put("seams.front_round.notches.0.0", "back.foot"),
        put("coverings.pocket_on_front.clear", {}),
        put("coverings.pocket_on_front.caught", {"left": "top"}),
        put("coverings.pocket_on_front.caught", {"left": "bottom_left"}),
        put("steps.0.text", "Hem by {pocket.heel.allowance}."),
        put("steps.0.text", "Hem by {pocket."),
        put("steps.0.action", "pray"),
        put("rules.shape.holds", "width"),
        put("rules.shape.holds", "width*width >= 3"),
        put("contents.card.in", "bag"),
        put("sizes.small", {"scale": 0}),
        put("sizes.small", {"set": {"loops": 3}}),
        put("sizes.base", {"scale": 2}),
        put("findings.loop.webbing.stock", "straps"),
    ],
)
def test_a_pattern_that_makes_no_sense_is_unreadable_and_says_where(change: Change) -> None:
    pattern = pouch.pattern()
    change(pattern)
    with pytest.raises(UnreadableInput) as raised:
        judge(pattern, pouch.grade())
    assert raised.value.path


JUNK = [
    None,
    7,
    -1,
    "",
    "width",
    "pi*width",
    "front.top",
    [],
    {},
    [[]],
    {"at_least": "pi*width"},
    "9" * 900,
    True,
    "0*width",
]


@pytest.mark.parametrize("junk", JUNK, ids=range(len(JUNK)))
def test_junk_in_the_place_of_any_part_of_a_pattern_never_crashes(junk: object) -> None:
    pattern = pouch.pattern()
    places = {path[:depth] for path, _ in leaves(pattern) for depth in range(1, len(path) + 1)}
    judged = 0
    for path in sorted(places, key=str)[JUNK.index(junk) % 3 :: 3]:
        with suppress(UnreadableInput):
            judge(with_leaf(pattern, path, junk), pouch.grade())
        judged += 1
    assert judged > 50
