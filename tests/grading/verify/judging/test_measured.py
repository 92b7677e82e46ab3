"""Pieces measured at the table: allowances come off, and each seam gets a word a maker can act on."""

from __future__ import annotations

from typing import Any

import pytest

from grading.verify import UnreadableInput, judge_measured
from tests.grading.verify import pouch

PANEL = {
    "right": {"stitched": "120 mm"},
    "bottom_right": {"stitched": "47 mm"},
    "bottom": {"stitched": "140 mm"},
    "bottom_left": {"stitched": "47 mm"},
    "left": {"stitched": "120 mm"},
}


def verdicts(band: dict[str, str], uncertainty: str = "0.1 mm", pattern: dict[str, Any] | None = None) -> Any:
    measured = {"uncertainty": uncertainty, "pieces": {"front": PANEL, "band": {"top": band}}}
    return judge_measured(pattern or pouch.pattern(), measured)


@pytest.mark.parametrize(
    ("stitched", "verdict"),
    [
        ("474 mm", "joins"),  # 474 - 474 = 0, and 6 edges x 0.1 mm
        ("475 mm", "joins within the measuring"),  # 1 + 0.6 > 1.5, 1 <= 1.5 + 0.6
        ("476 mm", "joins within the measuring"),
        ("477 mm", "ease it in"),  # 3 is no more than 1 % of 474
        ("478.74 mm", "ease it in"),
        ("478.75 mm", "trim"),
        ("469 mm", "trim"),
    ],
)
def test_a_measured_band_gets_the_word_that_its_length_earns(stitched: str, verdict: str) -> None:
    found = verdicts({"stitched": stitched})
    (seam,) = found.seams
    assert (seam.seam, seam.verdict) == ("front_round", verdict)
    assert found.unmeasured == ("back_round",)
    assert found.holds == (verdict != "trim")


def test_both_the_side_to_trim_and_the_side_to_cut_anew_are_named() -> None:
    (seam,) = verdicts({"stitched": "490 mm"}).seams
    assert (seam.too_long, seam.difference) == ("band.top", "-16 mm")
    assert seam.too_short.startswith("front.right + front.bottom_right")
    assert "trim band.top by 16 mm" in seam.says and "anew" in seam.says


def test_the_neighbours_allowances_come_off_a_cut_length() -> None:
    # 474 + 10 + 10, cut edge to cut edge.
    (seam,) = verdicts({"cut": "494 mm"}).seams
    assert (seam.to, seam.verdict) == ("474 mm", "joins")


def test_at_a_concave_corner_the_neighbours_allowance_is_added() -> None:
    pattern = pouch.pattern()
    edges = [("top", ["band_length", "0"]), ("right", ["band_length", "-depth"]), ("bottom", ["60", "-depth"])]
    edges += [("in", ["60", "-20"]), ("ledge", ["0", "-20"]), ("left", ["0", "0"])]
    outline = {"start": ["0", "0"], "edges": [{"name": name, "to": to} for name, to in edges]}
    pattern["pieces"]["band"] |= {"outline": outline, "edges": {"left": {"allowance": "12 mm", "fate": "raw"}}}
    pattern["seams"]["back_round"]["to"] = ["band.ledge"]
    measured = {"uncertainty": 0, "pieces": {"back": PANEL, "band": {"ledge": {"cut": "476 mm"}}}}
    # Convex at the left (12 mm comes off), concave at the inner corner (10 mm is added).
    (seam,) = judge_measured(pattern, measured).seams
    assert (seam.to, seam.verdict) == ("474 mm", "joins")


def test_ease_counts_as_meant() -> None:
    pattern = pouch.pattern()
    pattern["seams"]["front_round"]["ease"] = "10 mm"
    (seam,) = verdicts({"stitched": "464 mm"}, pattern=pattern).seams
    assert (seam.verdict, seam.difference) == ("joins", "0 mm")


@pytest.mark.parametrize(
    "measured",
    [
        {},
        [],
        {"uncertainty": "-1 mm", "pieces": {}},
        {"uncertainty": 0, "pieces": {"heel": {}}},
        {"uncertainty": 0, "pieces": {"front": {"heel": {"stitched": 3}}}},
        {"uncertainty": 0, "pieces": {"front": {"right": {"stitched": 3, "cut": 4}}}},
        {"uncertainty": 0, "pieces": {"front": {"right": {"cut": "120 mm"}}}},
        {"uncertainty": 0, "pieces": {"front": {"bottom_left": {"cut": "120 mm"}}}},
        {"uncertainty": 0, "pieces": {"band": {"top": {"cut": "20 mm"}}}},
        {"uncertainty": 0, "pieces": {}, "size": "huge"},
    ],
)
def test_measures_that_cannot_be_read_are_refused(measured: Any) -> None:
    with pytest.raises(UnreadableInput):
        judge_measured(pouch.pattern(), measured)
