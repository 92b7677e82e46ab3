"""Shrinkage as the testing standards count it."""

from __future__ import annotations

from fractions import Fraction

from tests.grading.cloth.laid import bag, laid, rectangle


def test_to_have_500_after_losing_4_percent_520_8_are_cut() -> None:
    """AATCC 135 counts change in percent of what was there before: 500 becomes 480. For 500 one cuts 500 / 0.96."""
    cloth = {"usable_width": "900 mm", "shrinkage": {"along": "4 %"}}
    document = bag({"panel": rectangle(900, 500)}, cloth, ruler="0.1 mm")
    needed = laid(document, {"effort": "quick", "widths": []})["buy"]["needed"]
    assert needed == "520.9 mm"  # 520.83 on a ruler of 0.1 mm, raised
    assert Fraction(500) / Fraction(96, 100) > 520
