"""What is wrong with a document is told all at once, each with its place and a remedy."""

from __future__ import annotations

from typing import Any

import pytest

from grading.document import read_pattern
from grading.errors import DocumentFaults, Fault
from grading.model import build_model
from tests.patterns import GONE, changed, pouch, ruler_of

Case = tuple[str, Any, str, str]


def faults_of(document: Any) -> tuple[Fault, ...]:
    """The faults of a document, of its form, its names or its drawing."""
    with pytest.raises(DocumentFaults) as refused:
        pattern = read_pattern(document)
        build_model(pattern, ruler_of(pattern))
    for fault in refused.value.faults:
        assert fault.path and fault.problem and fault.remedy
    return refused.value.faults


def test_the_pouch_itself_has_no_fault() -> None:
    pattern = read_pattern(pouch())
    assert build_model(pattern, ruler_of(pattern)).relations


# Each case: the field that is changed, its new value, the path of the fault, and a word of what it says.
FORM: list[Case] = [
    ("format", 2, "format", "1"),
    ("format", GONE, "format", "missing"),
    ("name", "", "name", "at least 1"),
    ("name", "a\x00b", "name", "control"),
    ("name", 12, "name", "string"),
    ("colour", "red", "colour", "no such field"),
    ("unit", "furlong", "unit", "mm"),
    ("ruler", "often", "ruler", "no length"),
    ("dimensions", {}, "dimensions", "at least 1"),
    ("dimensions", [], "dimensions", "dict"),
    ("dimensions.width.base", "wide", "dimensions.width.base", "no length"),
    ("dimensions.width.base", "120", "dimensions.width.base", "no length"),
    ("dimensions.width.base", True, "dimensions.width.base", ""),
    ("dimensions.width.base", None, "dimensions.width.base", ""),
    ("dimensions.width.base", float("nan"), "dimensions.width.base", "finite"),
    ("dimensions.width.base", float("inf"), "dimensions.width.base", "finite"),
    ("dimensions.width.base", 1e300, "dimensions.width.base", "no length"),
    ("dimensions.width.base", 10**400, "dimensions.width.base", ""),
    ("dimensions.width.base", " " * 100_000, "dimensions.width.base", "no length"),
    ("dimensions.width.limits", [80], "dimensions.width.limits.1", "missing"),
    ("dimensions.width.limits", [80, "x"], "dimensions.width.limits.1", "no length"),
    ("dimensions.width.sizing", "free", "dimensions.width.sizing", "proportion"),
    ("dimensions.width.sizing", "stock", "dimensions.width", "stock"),
    ("dimensions.width.stock", "zips", "dimensions.width", "stock"),
    ("dimensions.pi", {"base": 3}, "dimensions.pi", "meaning of its own"),
    ("dimensions.sqrt", {"base": 3}, "dimensions.sqrt", "meaning of its own"),
    ("dimensions.bag", {"base": 3}, "dimensions.bag", "meaning of its own"),
    ("dimensions.Width", {"base": 3}, "dimensions.Width", "no name"),
    ("dimensions.__class__", {"base": 3}, "dimensions.__class__", "no name"),
    (f"dimensions.{'w' * 61}", {"base": 3}, f"dimensions.{'w' * 61}", "no name"),
    ("pieces.panel.layers", [], "pieces.panel.layers", "at least 1"),
    ("pieces.panel.layers.0.count", 0, "pieces.panel.layers.0.count", "greater"),
    ("pieces.panel.layers.0.count", 1.5, "pieces.panel.layers.0.count", "integer"),
    ("pieces.panel.layers.0.material", GONE, "pieces.panel.layers.0.material", "missing"),
    ("pieces.panel.grain", "sideways", "pieces.panel.grain", "along"),
    ("pieces.panel.on_fold", "yes", "pieces.panel.on_fold", "boolean"),
    ("pieces.panel.outline", {"rectangle": ["width"]}, "pieces.panel.outline.rectangle.1", "missing"),
    ("pieces.panel.outline", {"rectangle": ["width", "9**9**9"]}, "pieces.panel.outline.rectangle.1", "exponent"),
    ("pieces.panel.outline", {"square": 3}, "pieces.panel.outline.square", "no such field"),
    ("pieces.panel.outline", {}, "pieces.panel.outline.start", "missing"),
    ("pieces.panel.outline", {"disc": {}}, "pieces.panel.outline.disc.radius", "missing"),
    ("pieces.panel.outline", 7, "pieces.panel.outline", ""),
    ("pieces.panel.edges.top.fate", "lost", "pieces.panel.edges.top.fate", "hemmed once"),
    ("pieces.panel.edges.top.allowance", "()", "pieces.panel.edges.top.allowance", "no arithmetic"),
    ("pieces.panel.uses.0", "Front", "pieces.panel.uses.0", "no name"),
    ("pieces.panel.uses.0", {"name": "front", "mirrored": 1}, "pieces.panel.uses.0.mirrored", "boolean"),
    ("pieces.panel.notches.middle.edge", 3, "pieces.panel.notches.middle.edge", "string"),
    ("pieces.panel.lines.floor.from", GONE, "pieces.panel.lines.floor.from", "missing"),
    (
        "pieces.path",
        {"outline": {"disc": {"radius": "x y"}}, "layers": [{"material": "main"}]},
        "pieces.path.outline.disc.radius",
        "no arithmetic",
    ),
    ("seams.side.join", [], "seams.side.join", "at least 1"),
    ("seams.side.join.0", {"edge": 3}, "seams.side.join.0.edge", "string"),
    ("seams.side.join.0", {"edge": "front.right", "from": "width.real"}, "seams.side.join.0.from", "a point right"),
    ("seams.side.join.0", {"line": 3}, "seams.side.join.0.line", "string"),
    ("seams.side.join.0", {"line": "front.floor", "from": 3}, "seams.side.join.0.from", "no such field"),
    ("seams.side.join.0", "Front Right!", "seams.side.join.0", "pattern"),
    ("seams.side.ease", "3 parsecs", "seams.side.ease", "no arithmetic"),
    ("seams.side.fullness", "much", "seams.side.fullness", "no factor"),
    ("seams.side.notches", [["front.middle"]], "seams.side.notches.0.1", "missing"),
    ("coverings.pocket_on_front.clear.top", {"at_most": 3}, "coverings.pocket_on_front.clear.top.at_least", "missing"),
    (
        "coverings.pocket_on_front.clear.top",
        {"at_least": "a b"},
        "coverings.pocket_on_front.clear.top.at_least",
        "no arithmetic",
    ),
    ("contents.card.object", ["86 mm", "x", "1 mm"], "contents.card.object.1", "no length"),
    ("contents.card.object", GONE, "contents.card.object", "missing"),
    ("contents.card", {"opening": "1 +", "least": 3}, "contents.card.opening", "no arithmetic"),
    ("findings.stud.hardware", GONE, "findings.stud", "one thing"),
    ("findings.stud.count", 0, "findings.stud.count", "greater"),
    ("findings.stud.zip", {"length": "width", "exposed": 20, "stock": "zips"}, "findings.stud", "one thing"),
    ("rules.shape.holds", "height", "rules.shape.holds", "compares nothing"),
    ("rules.shape.holds", "height < width < 3", "rules.shape.holds", "compares nothing"),
    ("rules.shape.holds", "height <= eval(width)", "rules.shape.holds", "eval"),
    ("rules.shape.because", "", "rules.shape.because", "at least 1"),
    ("sizes.wide", {}, "sizes.wide", "asks for nothing"),
    ("sizes.wide", {"scale": 1, "volume": "3 L"}, "sizes.wide", "both given"),
    ("sizes.wide", {"scale": 0}, "sizes.wide", "no size"),
    ("sizes.wide", {"scale": "-7/10"}, "sizes.wide", "no size"),
    ("sizes.wide", {"scale": "1e3"}, "sizes.wide.scale", "no factor"),
    ("steps.0.text", 5, "steps.0.text", "string"),
    ("steps.0.action", "fold", "steps.0.action", "fuse"),
]

NAMES: list[Case] = [
    ("pieces.panel.outline.rectangle.0", "widht", "pieces.panel.outline.rectangle.0", "'widht'"),
    ("pieces.panel.edges.side", {}, "pieces.panel.edges.side", "'side'"),
    ("pieces.panel.up", "side", "pieces.panel.up", "'side'"),
    ("pieces.panel.layers.0.material", "silk", "pieces.panel.layers.0.material", "'silk'"),
    ("pieces.panel.layers.1.name", "main", "pieces.panel.layers.1", "second layer"),
    ("pieces.panel.notches.middle.edge", "side", "pieces.panel.notches.middle.edge", "'side'"),
    ("pieces.panel.uses.1", "front", "pieces.panel.uses.1", "stands at"),
    ("pieces.pocket.uses", ["front"], "pieces.pocket.uses.0", "stands at"),
    ("findings.front", {"hardware": {"what": "ring"}}, "findings.front", "stands at"),
    ("seams.side.join.0", "front.side", "seams.side.join.0", "'side'"),
    ("seams.side.join.0", "middle.right", "seams.side.join.0", "'middle'"),
    ("seams.side.join.0", "front", "seams.side.join.0", "''"),
    ("seams.side.join.0", "front.right sideways", "seams.side.join.0", "sideways"),
    ("seams.side.join.0", {"line": "front.roof"}, "seams.side.join.0", "'roof'"),
    ("seams.bottom.notches.0.0", "front.centre", "seams.bottom.notches.0.0", "'centre'"),
    ("seams.side.notches", [["front.middle", "back.middle"]], "seams.side.notches.0.0", "on no edge"),
    ("coverings.pocket_on_front.over", "side", "coverings.pocket_on_front.over", "'side'"),
    ("coverings.pocket_on_front.over", "pocket", "coverings.pocket_on_front", "itself"),
    ("coverings.pocket_on_front.caught", {"left": "west"}, "coverings.pocket_on_front.caught.left", "'west'"),
    ("coverings.pocket_on_front.clear.top", "3*hight", "coverings.pocket_on_front.clear.top", "'hight'"),
    ("contents.card.in", "wallet", "contents.card.in", "'wallet'"),
    ("contents.card.in", GONE, "contents.card.in", "missing"),
    ("contents.card.in", "bag", "contents.card.in", "inside"),
    ("rules.shape.holds", "hight <= 2*width", "rules.shape.holds", "'hight'"),
    ("sizes.base", {"scale": 1}, "sizes.base", "always"),
    ("sizes.wide.set", {"girth": 3}, "sizes.wide.set.girth", "'girth'"),
    ("sizes.wide.set", {"pocket_width": 3}, "sizes.wide.set.pocket_width", "decided"),
    ("steps.0.finishes.0", "front.roof", "steps.0.finishes.0", "'roof'"),
    ("steps.3.makes.0", "hem", "steps.3.makes.0", "'hem'"),
    ("steps.2.lays.0", "flap", "steps.2.lays.0", "'flap'"),
    ("steps.0.uses", ["ghost"], "steps.0.uses.0", "'ghost'"),
    ("steps.0.binds", ["stud"], "steps.0.binds.0", "'stud'"),
    ("steps.0.text", "Sew {width.", "steps.0.text", "brace"),
]

NUMBERS: list[Case] = [
    ("dimensions.width.base", 0, "dimensions.width.base", "0 mm"),
    ("dimensions.width.base", -5, "dimensions.width.base", "-5 mm"),
    ("dimensions.width.base", "21 m", "dimensions.width.base", "21000 mm"),
    ("dimensions.width.limits", [130, 200], "dimensions.width.base", "120 mm"),
    ("dimensions.width.limits", [200, 80], "dimensions.width.limits", "no range"),
    ("dimensions.width.limits", [-1, 200], "dimensions.width.limits", "no range"),
    ("dimensions.pleats", {"base": 2.5, "kind": "count"}, "dimensions.pleats.base", "no count"),
    ("dimensions.pleats", {"base": "3 mm", "kind": "count"}, "dimensions.pleats.base", "no count"),
    ("dimensions.pleats", {"base": 1001, "kind": "count"}, "dimensions.pleats.base", "no count"),
    ("stock.zips", ["120 mm", "100 mm"], "stock.zips", "ascending"),
    ("stock.zips", ["100 mm", "10 cm"], "stock.zips", "ascending"),
    ("stock.zips", ["0 mm"], "stock.zips", "above 0"),
    ("stock.zips", [], "stock.zips", "ascending"),
    ("ruler", "0.01 mm", "ruler", "0.01 mm"),
    ("ruler", 0, "ruler", "0 mm"),
    ("ruler", "-1 mm", "ruler", "-1 mm"),
    ("sizes.wide.ruler", "0 mm", "sizes.wide.ruler", "0 mm"),
    ("sizes.wide.set.width", -3, "sizes.wide.set.width", "-3 mm"),
    ("allowance", "-10 mm", "allowance", "-10 mm"),
    ("allowance", "9 m", "allowance", "9000 mm"),
    ("seam_tolerance", "-1 mm", "seam_tolerance", "-1 mm"),
    ("materials.main.usable_width", "-1 mm", "materials.main.usable_width", "-1 mm"),
    ("seams.side.tolerance", "-1 mm", "seams.side.tolerance", "-1 mm"),
    ("seams.side.fullness", "0", "seams.side.fullness", "no fullness"),
    ("contents.card.object", ["-86 mm", 54, 1], "contents.card.object.0", "-86 mm"),
    ("contents.card.ease", "-1 mm", "contents.card.ease", "-1 mm"),
    ("contents.card.stands_out", "-1 mm", "contents.card.stands_out", "-1 mm"),
    ("contents.hand", {"opening": "width", "least": "99 m"}, "contents.hand.least", "99000 mm"),
]

PATH = {"start": [0, 0], "edges": [{"name": "a", "to": ["width", 0]}, {"name": "b", "to": ["width", "-height"]}]}
ARC = {
    "start": [0, 0],
    "edges": [{"name": "a", "to": ["width", "-height"], "quarter": "right"}, {"name": "b", "to": [0, 0]}],
}
HALF = {
    "start": [0, 0],
    "edges": [{"name": "a", "to": ["width", "-height"], "half": "right"}, {"name": "b", "to": [0, 0]}],
}
SPOT = {"start": [0, 0], "edges": [{"name": "a", "to": [0, 0]}, {"name": "b", "to": [0, 0]}]}

DRAWING: list[Case] = [
    (
        "pieces.extra",
        {"outline": PATH, "layers": [{"material": "main"}]},
        "pieces.extra.outline.edges.1.to",
        "starts at (0 mm, 0 mm) and ends at (120 mm, -90 mm)",
    ),
    (
        "pieces.extra",
        {"outline": ARC, "layers": [{"material": "main"}]},
        "pieces.extra.outline.edges.0.to",
        "no quarter arc",
    ),
    (
        "pieces.extra",
        {"outline": HALF, "layers": [{"material": "main"}]},
        "pieces.extra.outline.edges.0.to",
        "no half arc",
    ),
    ("pieces.extra", {"outline": SPOT, "layers": [{"material": "main"}]}, "pieces.extra.outline", "no length"),
    ("pieces.panel.outline.rectangle.0", "pi*width", "pieces.panel.outline.rectangle.0", "pi or a root"),
    ("pieces.panel.outline.rectangle.0", "width*height", "pieces.panel.outline.rectangle.0", "area"),
    ("pieces.panel.outline.rectangle.0", "width - width", "pieces.panel.outline", "no length"),
    ("pieces.panel.outline.rectangle.0", "bag + 3", "pieces.panel.outline.rectangle.0", "bag"),
    ("pieces.panel.lines.floor.to", [0, -80], "pieces.panel.lines.floor", "no length"),
    ("pieces.panel.edges.top.allowance", "width", "pieces.panel.edges.top.allowance", "not one length"),
    ("pieces.panel.edges.top.allowance", "-3 mm", "pieces.panel.edges.top.allowance", "not one length"),
    ("pieces.panel.layers.0.inset", "-3 mm", "pieces.panel.layers.0.inset", "not one length"),
    ("seams.side.ease", "width*height", "seams.side.ease", "area"),
    (
        "seams.side.join",
        [{"edge": "front.right", "to": "sqrt(width**2 - 9*height**2)"}],
        "seams.side.join.0.to",
        "less than nothing",
    ),
    ("coverings.pocket_on_front.clear", {}, "coverings.pocket_on_front", "along"),
    ("coverings.pocket_on_front.caught", {"left": "top"}, "coverings.pocket_on_front.caught.left", "cannot lie"),
    ("contents.card", {"opening": "width*height", "least": 9}, "contents.card.opening", "area"),
    ("rules.shape.holds", "height <= width*height", "rules.shape.holds", "area"),
    (
        "findings.tape",
        {"elastic": {"width": 20, "length": "width", "stretch": "1/2"}},
        "findings.tape.elastic.stretch",
        "no stretch",
    ),
]


@pytest.mark.parametrize(
    ("field", "value", "path", "problem"),
    FORM + NAMES + NUMBERS + DRAWING,
    ids=lambda item: repr(item)[:40] if not isinstance(item, str) else item[:40],
)
def test_a_fault_has_its_place_and_its_remedy(field: str, value: Any, path: str, problem: str) -> None:
    faults = faults_of(changed(pouch(), field, value))
    here = [fault for fault in faults if fault.path == path]
    assert here, [str(fault) for fault in faults]
    assert any(problem.lower() in fault.problem.lower() for fault in here)
    assert len(here) == len(set(here))


TOGETHER = {
    "form": (
        "colour",
        "ruler",
        "dimensions.pi",
        "pieces.panel.grain",
        "pieces.path",
        "seams.side.ease",
        "contents.card.object",
        "findings.stud.count",
        "rules.shape.holds",
        "steps.0.action",
    ),
    "names and numbers": (
        "dimensions.width.base",
        "stock.zips",
        "allowance",
        "pieces.panel.outline.rectangle.0",
        "pieces.panel.edges.side",
        "seams.side.join.0",
        "coverings.pocket_on_front.over",
        "contents.card.in",
        "rules.shape.holds",
        "sizes.base",
        "steps.3.makes.0",
    ),
    "outlines": ("pieces.extra", "pieces.panel.outline.rectangle.0"),
    "relations": (
        "seams.side.ease",
        "coverings.pocket_on_front.caught",
        "contents.card",
        "rules.shape.holds",
        "findings.tape",
    ),
}


@pytest.mark.parametrize(
    ("cases", "fields"),
    [
        (FORM, TOGETHER["form"]),
        (NAMES + NUMBERS, TOGETHER["names and numbers"]),
        (DRAWING, TOGETHER["outlines"]),
        (DRAWING, TOGETHER["relations"]),
    ],
    ids=list(TOGETHER),
)
def test_all_faults_of_a_stage_are_told_at_once(cases: list[Case], fields: tuple[str, ...]) -> None:
    document, paths = pouch(), set()
    for field in fields:
        value, path = next((value, path) for name, value, path, _ in cases if name == field)
        document = changed(document, field, value)
        paths.add(path)
    assert paths <= {fault.path for fault in faults_of(document)}


@pytest.mark.parametrize("document", [None, 3, "pattern", [], [pouch()], True, float("nan")])
def test_a_document_is_an_object(document: object) -> None:
    assert [fault.path for fault in faults_of(document)] == ["document"]


def test_an_empty_object_is_told_what_it_lacks() -> None:
    assert {fault.path for fault in faults_of({})} == {"format", "name", "dimensions", "materials", "pieces"}


@pytest.mark.parametrize("depth", [41, 10_000, 100_000])
def test_a_document_nested_without_end_is_refused(depth: int) -> None:
    nested: Any = []
    for _ in range(depth):
        nested = [nested]
    assert [fault.path for fault in faults_of(changed(pouch(), "says", nested))] == ["document"]


def test_unknown_names_are_answered_with_the_known_ones() -> None:
    faults = faults_of(changed(pouch(), "seams.side.join.0", "front.side"))
    assert "top, right, bottom, left" in faults[0].remedy


def test_a_reader_never_takes_a_mistake_for_another_field() -> None:
    document = changed(pouch(), "pieces.panel.says_", "text")
    assert [(fault.path, fault.problem) for fault in faults_of(document)] == [
        ("pieces.panel.says_", "no such field is known here")
    ]
