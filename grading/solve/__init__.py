"""Solving: from a problem to the nearest size, its certificate, and the size on the ruler."""

from grading.solve.compiled import Compiled, compile_relations
from grading.solve.solution import Solution, nearest_point, solve

__all__ = ["Compiled", "Solution", "compile_relations", "nearest_point", "solve"]
