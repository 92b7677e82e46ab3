"""Outlines as symbols: edges in order, their lengths and boxes, for each way to draw one.

Lengths are checked against plain geometry (a quarter arc is pi/2 times its radius; Pythagoras), worked out here in
floats from the shapes themselves.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest

from grading.errors import DocumentFaults
from grading.model.outline import Outline
from tests.evaluation import true_value
from tests.patterns import model_of, sheet

QUARTER = math.pi / 2


def outline_of(written: dict[str, Any], **dimensions: float) -> tuple[Outline, dict[str, Fraction]]:
    """An outline as symbols, and the base values of its dimensions."""
    model = model_of(sheet(written, dict(dimensions) or {"width": 120, "height": 90, "corner": 15}))
    return model.pieces["sheet"].outline, dict(model.draft.base)


def lengths(written: dict[str, Any], **dimensions: float) -> dict[str, float]:
    """The length of each edge in mm at the base size."""
    outline, base = outline_of(written, **dimensions)
    return {edge.name: float(true_value(edge.length, base)) for edge in outline.edges}


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        ({"rectangle": ["width", "height"]}, {"top": 120, "right": 90, "bottom": 120, "left": 90}),
        (
            {"trapezoid": {"top": "width", "bottom": "width - 40", "height": "height"}},
            {"top": 120, "right": math.hypot(20, 90), "bottom": 80, "left": math.hypot(20, 90)},
        ),
        (
            {"trapezoid": {"top": "width", "bottom": "width - 40", "height": "height", "lean": 20}},
            {"top": 120, "right": 90, "bottom": 80, "left": math.hypot(40, 90)},
        ),
        (
            {"rounded_rectangle": {"width": "width", "height": "height", "corners": "corner"}},
            {
                "top": 90,
                "top_right": 15 * QUARTER,
                "right": 60,
                "bottom_right": 15 * QUARTER,
                "bottom": 90,
                "bottom_left": 15 * QUARTER,
                "left": 60,
                "top_left": 15 * QUARTER,
            },
        ),
        (
            {"rounded_rectangle": {"width": "width", "height": "height",
                                   "corners": {"bottom_left": "corner", "top_right": 30}}},
            {"top": 90, "top_right": 30 * QUARTER, "right": 60, "bottom": 105, "bottom_left": 15 * QUARTER, "left": 75},
        ),
        ({"disc": {"radius": "corner"}}, {"rim": 60 * QUARTER}),
        (
            {"start": [0, 0], "edges": [
                {"name": "top", "to": ["width", 0]},
                {"name": "round", "to": ["width", "-height"], "half": "right"},
                {"name": "bottom", "to": [0, "-height"]},
                {"name": "hollow", "to": [0, 0], "half": "left"},
            ]},
            {"top": 120, "round": 90 * QUARTER, "bottom": 120, "hollow": 90 * QUARTER},
        ),
        (
            {"start": [0, 0], "edges": [
                {"name": "top", "to": ["width", 0]},
                {"name": "corner", "to": ["width - height", "-height"], "quarter": "right"},
                {"name": "rest", "to": [0, 0]},
            ]},
            {"top": 120, "corner": 90 * QUARTER, "rest": math.hypot(30, 90)},
        ),
    ],
    ids=["rectangle", "trapezoid", "leaning trapezoid", "rounded", "two corners rounded", "disc", "halves", "quarter"],
)  # fmt: skip
def test_edges_come_in_order_with_their_lengths(written: dict[str, Any], wanted: dict[str, float]) -> None:
    found = lengths(written)
    assert list(found) == list(wanted)
    assert found == pytest.approx(wanted, abs=1e-9)


def test_a_boxed_panel_has_its_cut_outs_as_edges() -> None:
    written = {"start": ["-(width + depth)/2", 0], "edges": [
        {"name": "top", "to": ["(width + depth)/2", 0]},
        {"name": "right", "to": ["(width + depth)/2", "-height"]},
        {"name": "right_in", "to": ["width/2", "-height"]},
        {"name": "right_up", "to": ["width/2", "-height - depth/2"]},
        {"name": "bottom", "to": ["-width/2", "-height - depth/2"]},
        {"name": "left_up", "to": ["-width/2", "-height"]},
        {"name": "left_in", "to": ["-(width + depth)/2", "-height"]},
        {"name": "left", "to": ["-(width + depth)/2", 0]},
    ]}  # fmt: skip
    found = lengths(written, width=360, height=380, depth=120)
    assert found == {"top": 480, "right": 380, "right_in": 60, "right_up": 60, "bottom": 360, "left_up": 60,
                     "left_in": 60, "left": 380}  # fmt: skip
    outline, base = outline_of(written, width=360, height=380, depth=120)
    assert (outline.box.width.enclosure(base).low, outline.box.height.enclosure(base).low) == (480, 440)


@pytest.mark.parametrize(("turn", "top"), [("right", (60, 60)), ("left", (60, -60))])
def test_a_half_arc_has_its_top_on_the_left_of_the_way_where_it_turns_right(turn: str, top: tuple[int, int]) -> None:
    written = {"start": [0, 0], "edges": [
        {"name": "arc", "to": ["width", 0], "half": turn},
        {"name": "right", "to": ["width", "-height"]},
        {"name": "bottom", "to": [0, "-height"]},
        {"name": "left", "to": [0, 0]},
    ]}  # fmt: skip
    outline, base = outline_of(written, width=120, height=90)
    middle = outline.by_name["arc"].segments[0].end
    assert (middle.x.enclosure(base).low, middle.y.enclosure(base).low) == top


@pytest.mark.parametrize(
    ("to", "turn", "centre"),
    [
        (("corner", "-corner"), "right", (0, -15)),
        (("corner", "-corner"), "left", (15, 0)),
        (("corner", "corner"), "right", (15, 0)),
        (("corner", "corner"), "left", (0, 15)),
        (("-corner", "-corner"), "right", (-15, 0)),
        (("-corner", "corner"), "right", (0, 15)),
    ],
)
def test_the_centre_of_a_quarter_is_the_corner_on_its_inner_side(
    to: tuple[str, str], turn: str, centre: tuple[int, int]
) -> None:
    written = {"start": [0, 0], "edges": [
        {"name": "arc", "to": list(to), "quarter": turn},
        {"name": "away", "to": ["width", "-height"]},
        {"name": "back", "to": [0, 0]},
    ]}  # fmt: skip
    outline, base = outline_of(written, width=120, height=90, corner=15)
    found = outline.by_name["arc"].first.centre
    assert (found.x.enclosure(base).low, found.y.enclosure(base).low) == centre


def test_of_vertices_that_are_level_at_the_base_size_the_first_one_bounds_the_box() -> None:
    # The tabs are equally high at the base size only: the reference says that the first in the outline counts.
    written = {"start": [0, 0], "edges": [
        {"name": "up", "to": [0, "first"]},
        {"name": "over", "to": ["width/2", "first"]},
        {"name": "down", "to": ["width/2", 0]},
        {"name": "middle", "to": ["width", 0]},
        {"name": "up_again", "to": ["width", "second"]},
        {"name": "over_again", "to": ["2*width", "second"]},
        {"name": "down_again", "to": ["2*width", "-height"]},
        {"name": "bottom", "to": [0, "-height"]},
        {"name": "side", "to": [0, 0]},
    ]}  # fmt: skip
    outline, _ = outline_of(written, width=120, height=90, first=20, second=20)
    assert outline.box.top.names == {"first"}
    assert outline.box.right.names == {"width"}


def test_an_open_outline_is_told_even_where_another_piece_is_wrong() -> None:
    document = sheet(
        {"start": [0, 0], "edges": [{"name": "a", "to": ["width", 0]}, {"name": "b", "to": [0, "-height"]}]}
    )
    document["pieces"]["other"] = {"outline": {"rectangle": ["pi*width", 5]}, "layers": [{"material": "main"}]}
    with pytest.raises(DocumentFaults) as refused:
        model_of(document)
    assert {fault.path for fault in refused.value.faults} == {
        "pieces.sheet.outline.edges.1.to",
        "pieces.other.outline.rectangle.0",
    }
