"""Grades side by side: a chart of all sizes, the difference of two revisions, and a wish beside what was given."""

from grading.compare.answer import DimensionAnswer, Explanation, explain
from grading.compare.answer_writing import write_answer
from grading.compare.changes import Change, PartChange
from grading.compare.chart import Chart, ChartSize, make_chart
from grading.compare.chart_tables import chart_table
from grading.compare.chart_writing import write_chart
from grading.compare.difference import Difference, SizeDifference, compare
from grading.compare.difference_writing import write_difference
from grading.compare.sizes import GradedSizes, Refusal, refusal_of
from grading.compare.substitution import Substitution, cloth_changes, lost_sizes, write_substitution

__all__ = [
    "Change",
    "Chart",
    "ChartSize",
    "Difference",
    "DimensionAnswer",
    "Explanation",
    "GradedSizes",
    "PartChange",
    "Refusal",
    "SizeDifference",
    "Substitution",
    "chart_table",
    "cloth_changes",
    "compare",
    "explain",
    "lost_sizes",
    "make_chart",
    "refusal_of",
    "write_answer",
    "write_chart",
    "write_difference",
    "write_substitution",
]
