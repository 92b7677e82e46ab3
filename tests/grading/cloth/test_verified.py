"""The independent verifier holds every layout to be what it says, and finds what is changed."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from grading.errors import LayoutFaults, PieceDoesNotFit
from grading.exact import read_length
from grading.pipeline import Prepared, grade_document, grade_size, read_document
from grading.verify import judge_layouts
from grading.workroom import layouts_document, layouts_of
from tests.conftest import DEMO_NAMES
from tests.grading.cloth.laid import Json, bag, rectangle

QUICK: Json = {"effort": "quick", "widths": ["1000 mm"]}


def judged(document: Json, settings: Json, size: str = "base") -> tuple[Json, Json, list[str]]:
    """The grade and its layouts as they come back from JSON, and the claims that do not hold."""
    grade = grade_size(read_document(document), size=size)
    graded = json.loads(json.dumps(grade_document(grade)))
    layouts = json.loads(json.dumps(layouts_document(layouts_of(grade, settings))))
    return graded, layouts, failing(document, graded, layouts)


def failing(document: Json, grade: Json, layouts: Json) -> list[str]:
    return [claim.about for claim in judge_layouts(document, grade, layouts).claims if not claim.holds]


@pytest.mark.parametrize("name", DEMO_NAMES)
@pytest.mark.parametrize("size", ["base", "mini", "large"])
def test_the_layouts_of_the_demo_patterns_hold(demo_documents: dict[str, Json], name: str, size: str) -> None:
    assert judged(demo_documents[name], QUICK, size)[2] == []


OTHERS: list[Json] = [
    {"gap": "3 mm", "edge": "12 mm", "bias": "continuous", "spare": "12 %", "offcut": "80 mm"},
    {"style": "folded"},
    {"cloths": {"main": {"direction": "two-way", "tested": {"along": "2.5 %", "across": "1 %"}}}},
]


@pytest.mark.parametrize("name", ["allotment_tool_roll", "ferry_day_pack"])
@pytest.mark.parametrize("chosen", OTHERS)
def test_the_layouts_hold_with_other_settings(demo_documents: dict[str, Json], name: str, chosen: Json) -> None:
    assert judged(demo_documents[name], QUICK | chosen)[2] == []


@pytest.mark.parametrize("ruler", ["1/8 in", "0.5 mm"])
def test_the_layouts_hold_on_other_rulers(demo_documents: dict[str, Json], ruler: str) -> None:
    document = demo_documents["market_tote"] | {"ruler": ruler}
    assert judged(document, QUICK)[2] == []


PIECES = st.lists(
    st.fixed_dictionaries(
        {
            "size": st.tuples(st.integers(30, 400), st.integers(30, 400)),
            "grain": st.sampled_from(["along", "across", "bias"]),
            "up": st.sampled_from([None, "top", "bottom", "left", "right"]),
            "mirrored": st.booleans(),
            "count": st.integers(1, 2),
            "strip": st.booleans(),
            "motif": st.none() | st.tuples(st.integers(0, 90), st.integers(0, 90)),
        }
    ),
    min_size=1,
    max_size=4,
)
CLOTHS = st.fixed_dictionaries(
    {
        "direction": st.sampled_from(["any", "two-way", "one-way"]),
        "repeat": st.sampled_from([{"across": "64 mm"}, {"across": "90 mm", "along": "75 mm"}, {"along": "50 mm"}]),
        "shrinkage": st.sampled_from([{}, {"along": "3 %"}, {"along": "4 %", "across": "2.5 %"}]),
    }
)
CHOICES = st.fixed_dictionaries(
    {
        "style": st.sampled_from(["scissors", "folded"]),
        "gap": st.sampled_from(["0 mm", "2.5 mm"]),
        "edge": st.sampled_from(["0 mm", "7 mm"]),
    }
)


def piece_of(number: int, drawn: Any) -> Json:
    use = f"use_{number}"
    uses = [use, {"name": f"{use}_too", "mirrored": True}] if drawn["mirrored"] else [use]
    extra: Json = {key: drawn[key] for key in ("grain", "up") if drawn[key] is not None}
    if drawn["motif"] is not None and drawn["grain"] != "bias":
        extra["motif"] = {"point": [10, -15], "on": [f"{place} mm" for place in drawn["motif"]]}
    elif drawn["strip"]:
        extra["strip"] = True
    layers = [{"material": "main", "count": drawn["count"]}]
    return rectangle(*drawn["size"], uses=uses, **extra) | {"layers": layers}


@given(pieces=PIECES, cloth=CLOTHS, choices=CHOICES, width=st.integers(600, 1200))
@settings(max_examples=25, phases=(Phase.explicit, Phase.generate))
def test_the_layouts_of_any_pieces_hold(pieces: list[Any], cloth: Json, choices: Json, width: int) -> None:
    document = bag(
        {f"piece_{number}": piece_of(number, drawn) for number, drawn in enumerate(pieces)},
        cloth | {"usable_width": f"{width} mm", "price": {"amount": "9.99", "currency": "EUR", "per": "1 m"}},
    )
    try:
        assert judged(document, QUICK | {"widths": []} | choices)[2] == []
    except (LayoutFaults, PieceDoesNotFit) as refused:
        assert "motif" in str(refused) or choices["style"] == "folded"


def moved(layouts: Json, role: str, key: str, by: int) -> Json:
    """The layouts with the first piece of a cloth moved."""
    changed = deepcopy(layouts)
    piece = changed["cloths"][role]["pieces"][0]
    piece[key] = f"{read_length(piece[key]) + Fraction(by)} mm"
    return changed


def test_what_is_changed_in_a_layout_is_found(demo_documents: dict[str, Json]) -> None:
    document = demo_documents["market_tote"]
    grade, layouts, _ = judged(document, QUICK)
    assert failing(document, grade, layouts) == []
    assert failing(document, grade, moved(layouts, "main", "x", 10))
    assert failing(document, grade, moved(layouts, "lining", "across", -10))
    without = deepcopy(layouts)
    del without["cloths"]["lining"]["pieces"][-1]
    assert failing(document, grade, without)
    shorter = deepcopy(layouts)
    shorter["cloths"]["lining"]["buy"]["length"] = "100 mm"
    assert failing(document, grade, shorter)


def test_prepared_patterns_are_laid_out_like_others(demo_prepared: Callable[[str], Prepared]) -> None:
    prepared = demo_prepared("market_tote")
    grade = grade_size(prepared.model.pattern, request={"scale": "9/10"}, prepared=prepared)
    assert layouts_document(layouts_of(grade, QUICK))["size"]["request"] == {"scale": "9/10"}
