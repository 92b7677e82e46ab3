"""The limits of an order form: whether every size within them can be made, and what to offer if not."""

from grading.ranges.box import Box
from grading.ranges.proving import Obstacle, Verdict, prove_box
from grading.ranges.suggesting import Counterexample, Range, examine

__all__ = ["Box", "Counterexample", "Obstacle", "Range", "Verdict", "examine", "prove_box"]
