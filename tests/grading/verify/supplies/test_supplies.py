"""Supplies of a purse, counted and added up by hand; every number of a row is seen to matter."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from grading.verify import UnreadableInput, Verdict, judge_supplies
from grading.verify.document.findings import Finding
from grading.verify.supplies.supply_rows import mitred_corners
from tests.grading.verify.cloth.purse import Json, layout, layouts, replaced
from tests.grading.verify.drafts import drawn
from tests.grading.verify.drafts import panel as drafted
from tests.grading.verify.supplies.bought import (
    EDGES,
    EUR,
    GRADE,
    PATTERN,
    ROWS,
    SETTINGS,
    SEWN,
    THREAD,
    THREADS,
    buy,
    paper,
    row,
)


def test_the_hand_calculation_of_thread_is_as_written() -> None:
    assert SEWN == 1820
    # 636.2 + 573.2 + 957.5 + 1587.4 + 2 x 278.7 + 318.1 + 2 x 886.9 = 6403.8, with 15 % more 7364.3.
    assert round(float(THREAD), 1) == 6403.8
    assert round(float(THREAD / SEWN), 2) == 3.52
    assert round(float(THREAD * Fraction(115, 100)), 1) == 7364.3


def judged(given: Any, laid: Any = None, pattern: Json | None = None) -> Verdict:
    return judge_supplies(PATTERN if pattern is None else pattern, GRADE, given, laid)


def failing(given: Any, laid: Any = None, pattern: Json | None = None) -> set[str]:
    return {claim.about for claim in judged(given, laid, pattern).failing}


def test_sound_supplies_are_confirmed() -> None:
    verdict = judged(paper())
    assert not [claim.says for claim in verdict.failing]
    assert verdict.counts_by_kind["supplies"] == len(ROWS)
    assert verdict.counts_by_kind["thread"] == 2
    assert verdict.counts_by_kind["cost"] == 2


def numbers(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Each number or length of a paper, changed by one step."""
    if isinstance(value, dict):
        for key, item in value.items():
            if key not in {"name", "kind", "findings", "says", "what", "seams", "stitch", "currency"}:
                yield from numbers(item, (*path, key))
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from numbers(item, (*path, place))
    elif isinstance(value, int):
        yield path, value + 1
        yield path, value - 1
    elif isinstance(value, str):
        number, *unit = value.split()
        for by in (1, -1):
            if unit:
                step = {"mm": Fraction(1), "cm": Fraction(1, 10), "m": Fraction(1, 1000)}[unit[0]]
                yield path, f"{float(Fraction(number) + by * step)} {unit[0]}"
            else:
                yield path, f"{float(Fraction(number)) + by / 100:.2f}"
    else:
        yield path, "1 mm"


@pytest.mark.parametrize("part", ["rows", "thread", "cost"])
def test_each_number_changed_by_a_step_is_told(part: str) -> None:
    changes = list(numbers(paper()[part], (part,)))
    assert len(changes) >= 4
    for path, new in changes:
        blamed = failing(replaced(paper(), path, new))
        name = paper()[part][path[1]].get({"rows": "name", "thread": "stitch", "cost": "currency"}[part])
        kind = "supplies" if part == "rows" else part
        assert f"{kind}:{name}" in blamed, (path, new)


@pytest.mark.parametrize(
    ("path", "new", "about"),
    [
        (("rows",), ROWS[1:], "missing"),
        (("rows",), [*ROWS, ROWS[0]], "missing"),
        (("rows",), ROWS[::-1], "missing"),
        (("rows",), [*ROWS, row("more", "webbing")], "missing"),
        (("rows",), [*ROWS, row("main", "cloth")], "missing"),
        (("rows",), None, "missing"),
        (("rows", 0, "steps"), [1, 2], "supplies:main_zip"),
        (("rows", 0, "findings"), [], "supplies:main_zip"),
        (("rows", 0, "cost"), EUR | {"amount": "6.21"}, "supplies:main_zip"),
        (("rows", 0, "cost"), EUR | {"amount": "6.2"}, "supplies:main_zip"),
        (("rows", 0, "says"), None, "supplies:main_zip"),
        (("rows", 7, "buy"), buy(length="20 cm"), "supplies:side"),
        (("rows", 7, "waste"), "0 mm", "supplies:side"),
        (("thread",), THREADS[:1], "thread:301"),
        (("thread",), THREADS[::-1], "printed:thread"),
        (("thread", 1, "seams"), THREADS[1]["seams"][1:], "thread:301"),
        (("cost",), [], "cost:EUR"),
        (("cost",), [{"amount": "0.80", "currency": "USD"}, EUR | {"amount": "7.58"}], "printed:cost"),
        (("unpriced",), [], "printed:unpriced"),
        (("needles",), None, "printed:needles"),
        (("says",), [1], "printed:says"),
        (("format",), 2, "printed:format"),
        (("pattern",), "Bag", "printed:pattern"),
        (("ruler",), "2 mm", "printed:ruler"),
    ],
)
def test_what_is_missing_or_too_much_is_told(path: tuple[Any, ...], new: Any, about: str) -> None:
    given = paper()
    holder = given
    for key in path[:-1]:
        holder = holder[key]
    holder[path[-1]] = new
    assert about in failing(given)


@pytest.mark.parametrize(
    "changes",
    [
        {"waste": "some"},
        {"waste": None},
        {"reel": "0 m"},
        {"unit": "0 cm"},
        {"stitches_per_inch": "0"},
        {"corner": "-1 mm"},
        {"tape": "-1 mm"},
        {"ratios": {"thick": 3}},
        {"ratios": {"301": "0"}},
        {"ratios": None},
        {"more": 1},
    ],
)
def test_settings_that_cannot_be_are_refused(changes: Json) -> None:
    with pytest.raises(UnreadableInput):
        judged(paper(settings=SETTINGS | changes))


@pytest.mark.parametrize("given", [None, [], {}, {"kind": "layouts"}, {"kind": "supplies"}])
def test_what_is_no_supplies_is_refused(given: Any) -> None:
    with pytest.raises(UnreadableInput):
        judged(given)


def test_measured_ratios_take_the_place_of_calculated_ones() -> None:
    # 400 mm x 4 x 1.15 = 1840.
    measured = paper(settings=SETTINGS | {"ratios": {"101": "4"}})
    measured["thread"][0] |= {"ratio": "4.00", "used": "1.84 m"}
    assert failing(measured) == set()


def test_classes_of_which_nothing_is_known_are_listed_without_thread() -> None:
    pattern = copy.deepcopy(PATTERN)
    pattern["seams"]["other_mouth"]["stitch"] = "504"
    given = paper(thread=[THREADS[1], THREADS[0] | {"stitch": "504", "ratio": None, "used": None, "buy": None}])
    assert failing(given, pattern=pattern) == set()
    assert failing(paper(thread=[THREADS[1], THREADS[0] | {"stitch": "504"}]), pattern=pattern) == {"thread:504"}


def test_a_reel_more_is_bought_when_one_does_not_do() -> None:
    given = paper(settings=SETTINGS | {"reel": "7360 mm"})
    assert failing(given) == {"thread:301"}
    given["thread"][1]["buy"]["count"] = 2
    assert failing(given) == set()


def test_cloth_is_told_as_its_layout_tells_it() -> None:
    main = layout()
    main["buy"]["cost"] = EUR | {"amount": "3.00"}
    laid = layouts(main, of=GRADE)
    cloth = row(
        "main",
        "cloth",
        findings=[],
        width="500 mm",
        total="22 cm",
        buy=buy(length="0.3 m"),
        waste="80 mm",
        cost=EUR | {"amount": "3.00"},
    )
    given = paper(rows=[cloth, *ROWS], cost=[EUR | {"amount": "10.58"}, {"amount": "0.80", "currency": "USD"}])
    assert failing(given, laid) == set()
    for key, value in (("total", "21 cm"), ("waste", "81 mm"), ("buy", buy(length="0.4 m")), ("width", "50.1 cm")):
        assert failing(replaced(given, ("rows", 0, key), value), laid) == {"supplies:main"}
    assert "missing" in failing(paper(), laid)
    assert "missing" in failing(given)
    assert "printed:size" in failing(given, laid | {"size": {"name": None, "request": {"scale": 2}}})
    for wrong in ([], {"kind": "grade"}, laid | {"cloths": []}, laid | {"cloths": {"main": {}}}):
        with pytest.raises(UnreadableInput):
            judged(given, wrong)


def test_sheets_are_counted() -> None:
    laid = layouts(layout(buy={"sheets": 2, "waste": "10.0 %"}), of=GRADE)
    sheets = row("main", "sheet", findings=[], count=2, buy=buy(count=2))
    given = paper(rows=[sheets, *ROWS], unpriced=["main", *paper()["unpriced"]])
    assert failing(given, laid) == set()
    assert failing(replaced(given, ("rows", 0, "count"), 3), laid) == {"supplies:main"}


def bound(along: list[Any], outline: Any = None) -> int:
    edges = {edge: {"fate": "bound"} for edge in EDGES}
    piece = drafted(outline, edges=edges if outline is None else {})
    tape = {"binding": {"width": 20, "along": along, "cut_on": "bought"}}
    finding: Finding = drawn(pieces={"it": piece}, findings={"tape": tape}).findings["tape"]
    return mitred_corners(finding.along)


def test_a_binding_is_mitred_where_whole_straight_edges_meet() -> None:
    assert bound(["it.top"]) == 0
    assert bound(["it.top", "it.right"]) == 1
    assert bound(["it.top", "it.bottom"]) == 0
    assert bound(["it.top", "it.right", "it.bottom"]) == 2
    assert bound(["it.top", "it.right", "it.bottom", "it.left"]) == 4
    assert bound([{"edge": "it.top", "to": 50}, "it.right"]) == 0
    lines = [
        {"name": "a", "to": [50, 0]},
        {"name": "b", "to": [100, 0]},
        {"name": "c", "to": [100, -50]},
        {"name": "d", "to": [50, -100], "quarter": "right"},
        {"name": "e", "to": [0, 0]},
    ]
    path = {"start": [0, 0], "edges": lines}
    assert bound(["it.a", "it.b"], path) == 0
    assert bound(["it.b", "it.c"], path) == 1
    assert bound(["it.c", "it.d"], path) == 0
    assert bound(["it.e", "it.a", "it.b"], path) == 1
