"""The independent verifier: judges a grade against its pattern with nothing but the standard library."""

from grading.verify.cloth.layouts import judge_layouts
from grading.verify.judging.conflict import judge_conflict
from grading.verify.judging.judgement import judge
from grading.verify.judging.measured import MeasuredVerdict, judge_measured
from grading.verify.judging.solution_map import judge_map
from grading.verify.supplies.supplies import judge_supplies
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
