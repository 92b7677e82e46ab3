"""Any piece split anywhere: either a fault that says where and what would help, or a document that is proven."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, assume, given, seed, settings
from hypothesis import strategies as st

from grading.errors import RequestFaults
from tests.grading.substitute.support import ADD_PLAIN, kept, unproven
from tests.patterns import Json, pouch

Documents = dict[str, Json]
SIDES = ("top", "bottom", "left", "right")
QUIET = [HealthCheck.function_scoped_fixture, HealthCheck.filter_too_much]


def extents(piece: Json) -> list[str] | None:
    outline = piece["outline"]
    if "rounded_rectangle" in outline:
        return [outline["rounded_rectangle"]["width"], outline["rounded_rectangle"]["height"]]
    found: list[str] | None = outline.get("rectangle")
    return found


places = st.one_of(
    st.integers(1, 7).map(lambda eighths: f"{{whole}}*{eighths}/8"),
    st.integers(5, 120).map(lambda tens: f"{tens / 2:g} mm"),
    st.integers(5, 60).map(lambda length: f"{{whole}} - {length}"),
)


def check(document: Json, piece: str, side: str, place: str) -> None:
    sides = extents(document["pieces"][piece])
    assume(sides is not None)
    assert sides is not None
    whole = sides[1] if side in {"top", "bottom"} else sides[0]
    change = {"split": piece, "at": place.format(whole=f"({whole})"), "from": side}
    try:
        split = kept(document, change)
    except RequestFaults as refused:
        assert all(fault.path.startswith("changes.0") and fault.problem and fault.remedy for fault in refused.faults)
        return
    assert unproven(split) == []


@seed(1910)
@settings(max_examples=30, deadline=None, suppress_health_check=QUIET)
@given(piece=st.sampled_from(["panel", "pocket"]), side=st.sampled_from(SIDES), place=places)
def test_a_pouch_split_anywhere(piece: str, side: str, place: str) -> None:
    check(pouch(), piece, side, place)


@seed(1911)
@settings(max_examples=10, deadline=None, suppress_health_check=QUIET)
@given(data=st.data(), side=st.sampled_from(SIDES), place=places)
def test_a_demo_split_anywhere(data: st.DataObject, side: str, place: str, demo_documents: Documents) -> None:
    name = data.draw(st.sampled_from(["market_tote", "allotment_tool_roll"]))
    document = demo_documents[name]
    check(document, data.draw(st.sampled_from(sorted(document["pieces"]))), side, place)


@pytest.mark.parametrize("margin", ["1 mm", "12.5 mm", "24 mm", "60 mm"])
def test_a_pouch_with_plain_cloth_hidden_by_any_margin(margin: str) -> None:
    try:
        document = kept(pouch(), ADD_PLAIN, {"hide": "pocket_on_front", "material": "plain", "margin": margin})
    except RequestFaults as refused:
        assert all(fault.path.startswith("changes.1") and fault.remedy for fault in refused.faults)
    else:
        assert unproven(document) == []
