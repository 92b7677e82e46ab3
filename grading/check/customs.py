"""Customs of the trade that a check goes by, each a setting."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Customs:
    """What is usual, in mm. All of it is common practice, no source.

    least_foamed_radius       a corner with foam in it is hard to sew round below this radius
    longest_without_notch     a seam longer than this gets a notch at its centre
    marks_on_loop             a seam that runs round has its quarters marked
    marks_on_small_loop       one no longer than twice `longest_without_notch` its start and its centre
    least_opening             what a hand needs to turn a bag through its lining
    least_opening_over_foam   the same where foam has to come through
    shortest_meeting          two edges that run beside each other for less than this say nothing of their direction
    """

    least_foamed_radius: Fraction = Fraction(40)
    longest_without_notch: Fraction = Fraction(250)
    marks_on_loop: int = 4
    marks_on_small_loop: int = 2
    least_opening: Fraction = Fraction(125)
    least_opening_over_foam: Fraction = Fraction(200)
    shortest_meeting: Fraction = Fraction(10)


CUSTOMS = Customs()
"""The customs where no others are given."""
