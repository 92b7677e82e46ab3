"""The printed yardage chart, against lengths by area and against what a layout must obey.

The widely reprinted chart (sewwithsarah.com, "Fabric conversion chart"; the same numbers at hookedonsewing.com). Read
anew here from the first, so that the library's copy is compared entry by entry.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from grading.cloth.width_chart import EXTRA, WIDTHS, YARDS, width_chart
from grading.exact import INCH, UNITS, read_length

COLUMNS = (35.5, 39, 41, 44.5, 50, 53, 59, 66)
"""The middles of the widths in inches."""

CHART = """
1 3/4 | 1 1/2 | 1 1/2 | 1 3/8 | 1 1/4 | 1 1/8 | 1 | 7/8
2 | 1 3/4 | 1 3/4 | 1 5/8 | 1 1/2 | 1 3/8 | 1 1/4 | 1 1/8
2 1/4 | 2 | 2 | 1 3/4 | 1 5/8 | 1 1/2 | 1 3/8 | 1 1/4
2 1/2 | 2 1/4 | 2 1/4 | 2 1/8 | 1 3/4 | 1 3/4 | 1 5/8 | 1 1/2
2 7/8 | 2 1/2 | 2 1/2 | 2 1/4 | 2 | 1 7/8 | 1 3/4 | 1 5/8
3 1/8 | 2 3/4 | 2 3/4 | 2 1/2 | 2 1/4 | 2 | 1 7/8 | 1 3/4
3 3/8 | 3 | 2 7/8 | 2 3/4 | 2 3/8 | 2 1/4 | 2 | 1 7/8
3 3/4 | 3 1/4 | 3 1/8 | 2 7/8 | 2 5/8 | 2 3/8 | 2 1/4 | 2 1/8
4 1/4 | 3 1/2 | 3 3/8 | 3 1/8 | 2 3/4 | 2 5/8 | 2 3/8 | 2 1/4
4 1/2 | 3 3/4 | 3 5/8 | 3 3/8 | 3 | 2 3/4 | 2 5/8 | 2 1/2
4 3/4 | 4 | 3 7/8 | 3 5/8 | 3 1/4 | 2 7/8 | 2 3/4 | 2 5/8
5 | 4 1/4 | 4 1/8 | 3 7/8 | 3 3/8 | 3 1/8 | 2 7/8 | 2 3/4
"""


def rows() -> list[list[Fraction]]:
    return [
        [read_length(f"{cell.strip()} yd") / UNITS["yd"] for cell in line.split("|")]
        for line in CHART.strip().splitlines()
    ]


def test_the_library_has_the_chart_as_it_is_printed() -> None:
    assert [list(row) for row in YARDS] == rows()


@pytest.mark.parametrize("row", range(12))
def test_every_entry_can_be_looked_up_exactly(row: int) -> None:
    for column, (least, _) in enumerate(WIDTHS):
        length = YARDS[row][0] * UNITS["yd"]
        reading = width_chart(length, 36 * INCH, least * INCH)
        assert reading is not None
        assert reading.length == rows()[row][column] * UNITS["yd"]
        assert "rule of thumb" in reading.says


def test_the_chart_adds_a_quarter_of_a_yard_for_one_way_cloth() -> None:
    plain = width_chart(UNITS["yd"], 44 * INCH, 60 * INCH)
    extra = width_chart(UNITS["yd"], 44 * INCH, 60 * INCH, needs_extra=True)
    assert plain is not None and extra is not None
    assert extra.length - plain.length == EXTRA == read_length("1/4 yd")


def test_a_length_between_two_rows_is_read_from_the_longer_one() -> None:
    reading = width_chart(read_length("2 1/8 yd"), 36 * INCH, 44 * INCH)
    assert reading is not None
    assert reading.length == read_length("1 3/4 yd")


def test_off_the_chart_nothing_is_said() -> None:
    assert width_chart(6 * UNITS["yd"], 36 * INCH, 60 * INCH) is None
    assert width_chart(UNITS["yd"], 20 * INCH, 60 * INCH) is None
    assert width_chart(UNITS["yd"], 36 * INCH, 20 * INCH) is None


def test_the_chart_lies_within_a_tenth_below_and_an_eighth_above_the_same_area() -> None:
    """What the chart has against the plain conversion by area: -10 % to +12 %."""
    for row in rows():
        area = float(row[0]) * COLUMNS[0]
        for yards, width in zip(row, COLUMNS, strict=True):
            assert -0.10 <= float(yards) * width / area - 1 <= 0.12


def test_the_chart_never_takes_more_of_a_wider_cloth() -> None:
    assert all(one >= other for row in rows() for one, other in pairwise(row))
    columns = list(zip(*rows(), strict=True))
    assert all(one < other for column in columns for one, other in pairwise(column))
