"""The independent verifier: judges a grade against its pattern with nothing but the standard library."""

from grading.verify.conflict import judge_conflict
from grading.verify.judgement import judge
from grading.verify.layouts import judge_layouts
from grading.verify.measured import MeasuredVerdict, judge_measured
from grading.verify.solution_map import judge_map
from grading.verify.supplies import judge_supplies
from grading.verify.unreadable import UnreadableInput
from grading.verify.verdict import CLOSING, Claim, Verdict

__all__ = [
    "CLOSING",
    "Claim",
    "MeasuredVerdict",
    "UnreadableInput",
    "Verdict",
    "judge",
    "judge_conflict",
    "judge_layouts",
    "judge_map",
    "judge_measured",
    "judge_supplies",
]
