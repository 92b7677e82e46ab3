"""Solving: from a problem to the nearest size, its certificate, and the size on the ruler; or why there is none."""

from grading.solve.compiled import Compiled, compile_relations
from grading.solve.reach import Reach, reach_of
from grading.solve.refusal import Alternative, conflict_of, further_sets
from grading.solve.solution import Solution, can_be_made, nearest_point, solve
from grading.solve.stock import stock_label, stock_relation
from grading.solve.yielding import Yielded, give_way

__all__ = [
    "Alternative",
    "Compiled",
    "Reach",
    "Solution",
    "Yielded",
    "can_be_made",
    "compile_relations",
    "conflict_of",
    "further_sets",
    "give_way",
    "nearest_point",
    "reach_of",
    "solve",
    "stock_label",
    "stock_relation",
]
