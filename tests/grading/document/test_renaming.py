"""A part under another name: everything that names it follows, and nothing else is touched."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

import grading
from grading.document import read_pattern
from grading.document.places import EXPRESSIONS, places
from grading.document.renaming import KINDS, renamed
from grading.document.schema import pattern_schema
from grading.document.written import written_expressions
from grading.errors import RequestFaults

CURVED = Path(__file__).parents[1] / "curved_bag.json"
OTHER = "quite_another"


@pytest.fixture(scope="module")
def documents(demo_documents: dict[str, dict[str, Any]]) -> list[dict[str, Any]]:
    return [*demo_documents.values(), json.loads(CURVED.read_text(encoding="utf-8"))]


def names(document: Any, kind: str) -> list[str]:
    """The parts of a kind, written as they are renamed."""
    pieces, plain = document["pieces"], f"{kind}s"
    of_pieces = {"notch": "notches", "line": "lines"}
    if kind in of_pieces:
        return [f"{piece}.{name}" for piece in pieces for name in pieces[piece].get(of_pieces[kind], ())]
    if kind == "edge":
        paths = {piece: pieces[piece]["outline"].get("edges", ()) for piece in pieces}
        return [f"{piece}.{edge['name']}" for piece, edges in paths.items() for edge in edges]
    if kind == "layer":
        named = {piece: [layer["name"] for layer in pieces[piece]["layers"] if "name" in layer] for piece in pieces}
        return [f"{piece}.{name}" for piece, layers in named.items() for name in layers]
    if kind == "choice":
        options = document.get("options", {})
        return [f"{option}.{choice}" for option in options for choice in options[option]["choices"]]
    if kind == "use":
        listed = [use for piece in pieces.values() for use in piece.get("uses", ())]
        return [use["name"] if isinstance(use, dict) else use for use in listed]
    if kind == "activity":
        return list(document.get("order", {}).get("price", {}).get("minutes", ()))
    return list(document.get({"stock": "stock", "activity": ""}.get(kind, plain), ()))


@pytest.mark.parametrize("kind", KINDS)
def test_renaming_there_and_back_leaves_the_document_as_it_was(documents: list[dict[str, Any]], kind: str) -> None:
    tried = 0
    for document in documents:
        before = json.dumps(document)
        for name in names(document, kind):
            owner, point, own = name.rpartition(".")
            there = renamed(document, kind, name, OTHER)
            assert json.dumps(renamed(there, kind, f"{owner}{point}{OTHER}", own)) == before
            assert there != document
            tried += 1
        assert json.dumps(document) == before
    # No demo names a layer; `test_a_layer_is_renamed_where_a_motif_lies_in_it` does.
    assert tried or kind == "layer"


@pytest.mark.parametrize("kind", KINDS)
def test_what_was_sound_is_sound_under_another_name(demo_documents: dict[str, dict[str, Any]], kind: str) -> None:
    """As many relations and claims, no fault and no remark more; one part of each kind, the last."""
    document = demo_documents["market_tote"]
    for name in names(document, kind)[-1:]:
        before, after = (grading.check_document(each) for each in (document, renamed(document, kind, name, OTHER)))
        assert after.faults == before.faults == ()
        assert len(after.remarks) == len(before.remarks)
        assert (after.relations, after.claims) == (before.relations, before.claims)


def test_a_name_with_one_meaning_is_renamed_wherever_it_is_written(documents: list[dict[str, Any]]) -> None:
    """Against a search for the word in the whole text: for names that stand for one thing, and are in no free text."""
    fields = set(re.findall(r"\w+", json.dumps(pattern_schema())))
    tried = 0
    for document in documents:
        free = [holder[key] for way in FREE for holder, key in places(document, way)]
        said = json.dumps([free, [re.sub(r"{[^{}]*}", "", step["text"]) for step in document.get("steps", ())]])
        known = [(kind, name) for kind in KINDS for name in names(document, kind)]
        words = [name.rpartition(".")[2] for _, name in known]
        for kind, name in known:
            own = name.rpartition(".")[2]
            if words.count(own) > 1 or own in fields or re.search(rf"\b{own}\b", said):
                continue
            text = re.sub(rf"\b(thickness_)?{own}\b", rf"\g<1>{OTHER}", json.dumps(document))
            assert json.dumps(renamed(document, kind, name, OTHER)) == text, name
            tried += 1
    assert tried > 100


FREE = (
    "says",
    "*.*.says",
    "*.*.because",
    "*.*.what",
    "edition.*",
    "edition.*.*",
    "pieces.*.layers.*.says",
    "*.*.*.what",
)


def test_every_place_of_an_expression_is_known(documents: list[dict[str, Any]]) -> None:
    for document in documents:
        known = set()
        for way in EXPRESSIONS:
            for holder, key in places(document, way):
                known.add(str(holder[key]))
        for path, value in written_expressions(read_pattern(document)):
            held = {str(value)} if not path.startswith("rules.") else set()
            assert value is None or value == 0 or held <= known, path


def test_an_edge_is_renamed_in_everything_that_is_sewn_to_it(demo_documents: dict[str, dict[str, Any]]) -> None:
    there = renamed(demo_documents["market_tote"], "edge", "panel.top", "mouth")
    assert there["pieces"]["panel"]["outline"]["edges"][0]["name"] == "mouth"
    assert there["pieces"]["panel"]["notches"]["centre"]["edge"] == "mouth"
    assert there["seams"]["mouth"]["join"] == ["front.mouth", "back.mouth"]
    assert there["seams"]["mouth"]["to"] == demo_documents["market_tote"]["seams"]["mouth"]["to"]


def bag() -> dict[str, Any]:
    """Parts that the demos do not have; invented."""
    return {
        "dimensions": {"mm": {"base": 20}, "width": {"base": "300 mm"}},
        "materials": {"foam": {"thickness": "3 mm"}, "main": {}},
        "pieces": {
            "flap": {
                "outline": {"rectangle": ["width - 2*mm", "20 mm"]},
                "layers": [{"material": "main"}, {"material": "foam", "name": "core", "inset": "2*thickness_foam"}],
                "motif": {"point": ["0", "0"], "layers": ["main", "core"]},
            },
            "body": {"uses": ["front", {"name": "back", "mirrored": True}]},
        },
        "rules": {"wide": {"holds": "width >= 40 mm", "because": "it must be"}},
        "seams": {"lid": {"join": ["flap.top forward"], "to": [{"edge": "back.top", "from": "mm"}], "ease": "3 %"}},
        "sizes": {"mini": {"set": {"width": "240 mm"}, "hold": [{"object": [1, 2, 3], "in": "flap"}]}},
        "steps": [{"text": "{{flap}} {flap.width} {flap.top.length} {lid.length} { width }", "uses": ["flap"]}],
    }


def test_a_unit_is_no_dimension_of_the_same_name() -> None:
    there = renamed(bag(), "dimension", "mm", "turn")
    assert there["pieces"]["flap"]["outline"]["rectangle"] == ["width - 2*turn", "20 mm"]
    assert there["rules"]["wide"]["holds"] == "width >= 40 mm"
    assert there["seams"]["lid"]["to"] == [{"edge": "back.top", "from": "turn"}]


def test_a_piece_that_is_used_under_its_own_name_takes_its_use_along() -> None:
    there = renamed(bag(), "piece", "flap", "lid_piece")
    assert there["seams"]["lid"]["join"] == ["lid_piece.top forward"]
    assert there["sizes"]["mini"]["hold"][0]["in"] == "lid_piece"
    assert there["steps"][0]["uses"] == ["lid_piece"]
    assert there["steps"][0]["text"] == "{{flap}} {lid_piece.width} {lid_piece.top.length} {lid.length} { width }"


def test_a_use_is_told_apart_from_its_piece() -> None:
    there = renamed(bag(), "use", "flap", "lid_use")
    assert there["pieces"]["flap"]["uses"] == ["lid_use"]
    assert there["seams"]["lid"]["join"] == ["lid_use.top forward"]
    assert there["steps"] == [{**bag()["steps"][0], "uses": ["lid_use"]}]
    assert renamed(bag(), "use", "back", "rear")["pieces"]["body"]["uses"][1] == {"name": "rear", "mirrored": True}


def test_a_thickness_follows_its_material() -> None:
    there = renamed(bag(), "material", "foam", "padding")
    assert there["pieces"]["flap"]["layers"][1] == {
        "material": "padding",
        "name": "core",
        "inset": "2*thickness_padding",
    }


def test_a_layer_is_renamed_where_a_motif_lies_in_it() -> None:
    assert renamed(bag(), "layer", "flap.core", "heart")["pieces"]["flap"]["motif"]["layers"] == ["main", "heart"]
    assert renamed(bag(), "material", "main", "outer")["pieces"]["flap"]["motif"]["layers"] == ["outer", "core"]


@pytest.mark.parametrize(
    ("kind", "old", "new", "path"),
    [
        ("dimension", "depth", "deep", "from"),
        ("dimension", "width", "mm", "to"),
        ("dimension", "width", "width", "to"),
        ("dimension", "width", "Wide", "to"),
        ("dimension", "width", "pi", "to"),
        ("dimension", "width", "thickness_main", "to"),
        ("size", "mini", "base", "to"),
        ("use", "back", "flap", "to"),
        ("piece", "flap", "front", "to"),
        ("seam", "lid", "flap", "to"),
        ("edge", "flap.top", "mouth", "from"),
        ("button", "width", "wide", "kind"),
    ],
)
def test_a_name_that_cannot_be_is_refused(kind: str, old: str, new: str, path: str) -> None:
    with pytest.raises(RequestFaults) as refused:
        renamed(bag(), kind, old, new)
    (fault,) = refused.value.faults
    assert fault.path == path
    assert fault.problem
    assert fault.remedy


def test_a_draft_of_odd_parts_is_renamed_as_far_as_it_goes() -> None:
    odd = {"dimensions": {"width": 3}, "pieces": {"a": None, "b": {"uses": [5]}}, "seams": [], "steps": {"a": 1}}
    assert renamed(odd, "dimension", "width", "wide")["dimensions"] == {"wide": 3}
    assert list(renamed(odd, "piece", "a", "c")["pieces"]) == ["c", "b"]
