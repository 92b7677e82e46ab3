"""The limits of an order form: whether every size within them can be made, and what to offer if not."""

from grading.ranges.box import Box, Choose, Others
from grading.ranges.proving import Obstacle, Verdict, prove_box
from grading.ranges.suggesting import Counterexample, Range, examine
from grading.ranges.writing import write_range

__all__ = [
    "Box",
    "Choose",
    "Counterexample",
    "Obstacle",
    "Others",
    "Range",
    "Verdict",
    "examine",
    "prove_box",
    "write_range",
]
