"""Thread and tapes against published numbers.

Consumption in lengths of thread for a length of seam, T the thickness in inches, S stitches per inch:
textilecalculations.com, "Calculate amount of sewing thread consumption": 301 is 2 + 2TS (T 0.01, S 10: 2.2),
101 is 3 + 2TS (T 0.005, S 9: 3.09), 401 is 4 + 2TS (also textiletechinsight.com).
apparelscience.com, "Measuring actual thread consumption": a seam of class 401 pulled out takes 19.5/15 + 62/15 = 5.4
lengths, so 540 cm for 100 cm, and 621 cm with 15 % of waste. melgeecrafts.com: 301 at a ratio of 2.5, 550 cm for
220 cm. A thread maker's bulletin (scribd 75439238): 401, a seam of 42 in, 9 and 8 in of thread for each 3 in: 6.63 yd,
with 15 % 7.62 yd.
Idabelle McGlauflin, Handicraft for Girls, 1910 (Project Gutenberg 34854): a button bag, two drawstrings from 26 in of
tape; a case of a radius of 3 5/8 in, bound with 25 in. Garments for Girls (chestofbooks.com): a cord of 2 yd round a
body of 36 in.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.exact import UNITS, read_length
from grading.supplies.stitches import CONSUMPTION
from tests.grading.supplies.bags import band, row_of, supplied, with_findings

Json = dict[str, Any]
NO_WASTE = {"waste": "0 %"}


@pytest.mark.parametrize(
    ("stitch", "thickness", "stitches", "ratio"),
    [("301", "0.01 in", 10, "2.2"), ("101", "0.005 in", 9, "3.09"), ("401", "0.01 in", 10, "4.2")],
)
def test_a_stitch_takes_thread_along_the_seam_and_through_it(
    stitch: str, thickness: str, stitches: int, ratio: str
) -> None:
    assert CONSUMPTION[stitch].ratio(read_length(thickness), Fraction(stitches)) == Fraction(ratio)


@pytest.mark.parametrize(("stitch", "ratio"), [("301", "2.20"), ("101", "3.20"), ("401", "4.20")])
def test_a_seam_through_two_cloths_takes_what_the_formula_says(stitch: str, ratio: str) -> None:
    """Two layers of 0.005 in are sewn through."""
    (thread,) = supplied(band("100 cm", thickness="0.005 in", stitch=stitch), NO_WASTE)["thread"]
    assert thread["ratio"] == ratio
    assert read_length(thread["used"]) == Fraction(ratio) * 1000


@pytest.mark.parametrize(
    ("stitch", "measured", "length", "used", "waste"),
    [
        ("401", "5.4", "100 cm", "540 cm", "0 %"),
        ("401", "5.4", "100 cm", "621 cm", "15 %"),
        ("301", "2.5", "220 cm", "550 cm", "0 %"),
    ],
)
def test_a_seam_that_was_pulled_out_tells_how_much_thread_it_takes(
    stitch: str, measured: str, length: str, used: str, waste: str
) -> None:
    settings = {"ratios": {stitch: measured}, "waste": waste}
    (thread,) = supplied(band(length, stitch=stitch), settings)["thread"]
    assert read_length(thread["length"]) == read_length(length)
    assert read_length(thread["used"]) == read_length(used)


@pytest.mark.parametrize(("waste", "yards"), [("0 %", "6.63"), ("15 %", "7.62")])
def test_needle_and_looper_thread_of_a_chainstitch_add_up(waste: str, yards: str) -> None:
    """The seam and its thread are each raised to a centimetre, which is 0.02 yd at most."""
    settings = {"ratios": {"401": "17/3"}, "waste": waste}
    (thread,) = supplied(band("42 in", stitch="401"), settings)["thread"]
    assert abs(read_length(thread["used"]) / UNITS["yd"] - Fraction(yards)) <= Fraction(2, 100)


def test_two_drawstrings_of_a_button_bag_take_26_inches_of_tape() -> None:
    drawstring = {"webbing": {"width": "1/4 in", "length": "11 in", "ends": {"by": "1 in"}}, "count": 2}
    row = row_of(supplied(with_findings({"drawstring": drawstring}, "1/8 in")), "drawstring")
    assert (row["each"], row["total"]) == ("13 in", "26 in")
    assert row["buy"]["length"] == "3/4 yd"


def test_a_cord_twice_round_a_sewing_bag_is_two_yards() -> None:
    cord = {"webbing": {"width": "1/8 in", "length": "36 in"}, "count": 2}
    row = row_of(supplied(with_findings({"cord": cord}, "1/8 in")), "cord")
    assert (row["total"], row["buy"]["length"], row["waste"]) == ("72 in", "2 yd", "0 in")


def test_25_inches_of_binding_go_round_a_case_with_two_inches_for_the_joins() -> None:
    edges = {"rim": {"allowance": 0, "fate": "bound"}}
    case = {"outline": {"disc": {"radius": "3 5/8 in"}}, "edges": edges, "layers": [{"material": "main"}]}
    document = with_findings(
        {"edge": {"binding": {"width": "1 in", "along": ["case.rim"], "cut_on": "bought"}}}, "1/8 in"
    )
    document["pieces"]["case"] = case
    row = row_of(supplied(document), "edge")
    left = read_length("25 in") - read_length(row["total"])
    assert read_length("2 in") <= left <= read_length("2.22 in")
