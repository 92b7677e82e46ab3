"""Layouts and supplies of which any part is replaced by something else: a verdict or a refusal, never a failure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from grading.verify import UnreadableInput, judge_layouts, judge_supplies
from tests.grading.verify.cloth.purse import document, grade, layout, layouts, replaced
from tests.grading.verify.supplies.bought import GRADE, PATTERN, paper

Path = tuple[Any, ...]

HOSTILE = [
    None,
    True,
    -1,
    10**400,
    1.5,
    float("inf"),
    float("nan"),
    "",
    "\ud800",
    "\x1b[2J",
    "1/0 mm",
    "9" * 5000 + " mm",
    "0." + "0" * 3000 + "1 mm",
    "1/999999999999999 mm",
    "-5 mm",
    "1" * 5000,
    [],
    [[]],
    {},
    {"kind": "bars", "weights": [{"across": 10**20, "along": -1, "at_fold": None, "ways": [10**99]}]},
    {"kind": "one after another", "items": [0, 1, 2, 3]},
    {"kind": "columns", "refuted": 10**11, "weights": []},
]


def paths(value: Any, path: Path = ()) -> Iterator[Path]:
    yield path
    if isinstance(value, dict):
        for key, item in value.items():
            yield from paths(item, (*path, key))
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from paths(item, (*path, place))


SHEET = {"sheet": ["500 mm", "300 mm"], "price": {"amount": "1", "currency": "EUR", "per": "sheet"}}
ROTARY = layouts(
    layout(style="rotary", strips=[{"y": "0 mm", "along": "1 mm", "columns": []}], cuts=[]), style="rotary"
)
PAPERS = [
    (judge_layouts, document(), grade(), layouts()),
    (judge_layouts, document(), grade(), ROTARY),
    (judge_layouts, document(main={"repeat": {"across": "9 mm"}}), grade(), layouts(style="folded")),
    (judge_layouts, document(main=SHEET), grade(), layouts(layout(sheets=1))),
    (judge_supplies, PATTERN, GRADE, paper()),
]
CASES = [(index, path) for index, (*_, given_paper) in enumerate(PAPERS) for path in paths(given_paper)]


@given(st.sampled_from(CASES), st.sampled_from(HOSTILE))
@settings(max_examples=600, deadline=None)
def test_whatever_stands_in_a_paper_is_judged_or_refused(case: tuple[int, Path], value: Any) -> None:
    judge, pattern, of, plain = PAPERS[case[0]]
    try:
        verdict = judge(pattern, of, replaced(plain, case[1], value))
    except UnreadableInput as refused:
        assert refused.message
        return
    assert all(claim.says for claim in verdict.claims)
    assert all(claim.says.isprintable() for claim in verdict.failing)


@given(st.sampled_from(list(paths(layouts()))[1:]), st.sampled_from(HOSTILE))
@settings(max_examples=200, deadline=None)
def test_whatever_stands_in_the_layouts_that_supplies_rest_on_is_judged_or_refused(path: Path, value: Any) -> None:
    laid = replaced(layouts(of=GRADE), path, value)
    try:
        assert judge_supplies(PATTERN, GRADE, paper(), laid).failing
    except UnreadableInput as refused:
        assert refused.message
