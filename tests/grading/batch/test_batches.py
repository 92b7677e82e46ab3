"""Batches against the exact method of single sizes, against SciPy, and by hand."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import null_space
from scipy.optimize import minimize

from grading.batch import BatchSolver, Kind, RowStatus, SizeMap, read_batch
from grading.errors import Conflict, DocumentFaults, Stopped
from grading.exact import PI40
from grading.model import Problem, Relation, pose
from grading.pipeline import Prepared
from grading.solve import nearest_point
from tests.grading.batch.support import NEAR, assert_as_single_sizes, prepared, slanted, solved, webbed
from tests.patterns import changed, pouch

DAY_PACK = {"width": 300, "height": 400, "depth": 140}
Demo = Callable[[str], Prepared]


def rows_of(random: Random, columns: list[str], count: int, low: float = 0.6, high: float = 1.45) -> list[list[float]]:
    return [[round(DAY_PACK[name] * random.uniform(low, high), 1) for name in columns] for _ in range(count)]


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    st.integers(0, 10**6),
    st.lists(st.sampled_from(sorted(DAY_PACK)), min_size=1, max_size=3, unique=True),
    st.sampled_from(["in proportion", "at base"]),
)
def test_each_row_is_the_size_that_it_is_alone(demo_prepared: Demo, seed: int, columns: list[str], others: str) -> None:
    made = demo_prepared("ferry_day_pack")
    rows = rows_of(Random(seed), columns, 40)
    request, result = solved(made, {"columns": columns, "others": others, "rows": rows})
    assert_as_single_sizes(made, request, result, range(0, 40, 4))


@settings(max_examples=6, deadline=None, derandomize=True)
@given(st.integers(0, 10**6), st.sampled_from(["market_tote", "allotment_tool_roll", "ferry_day_pack"]))
def test_each_scale_is_the_size_that_it_is_alone(demo_prepared: Demo, seed: int, name: str) -> None:
    random, made = Random(seed), demo_prepared(name)
    scales = [f"{random.randint(40, 180)}/100" for _ in range(30)]
    request, result = solved(made, {"scales": scales})
    assert_as_single_sizes(made, request, result, range(0, 30, 3))


def test_thousands_of_rows_are_all_sorted_as_single_sizes(demo_prepared: Demo) -> None:
    random, made = Random(5), demo_prepared("ferry_day_pack")
    rows = rows_of(random, list(DAY_PACK), 6000)
    request, result = solved(made, {"columns": list(DAY_PACK), "rows": rows})
    assert {int(status) for status in np.unique(result.status)} == {0, 1, 2}
    assert_as_single_sizes(made, request, result, random.sample(range(6000), 60))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.data())
def test_stock_is_chosen_as_for_a_single_size(data: st.DataObject) -> None:
    widths = sorted(data.draw(st.lists(st.integers(8, 60), min_size=1, max_size=6, unique=True)))
    base = data.draw(st.sampled_from(widths))
    made = prepared(webbed([f"{width} mm" for width in widths], f"{base} mm"))
    scales = data.draw(st.lists(st.integers(20, 220), min_size=1, max_size=12))
    request, result = solved(made, {"scales": [f"{scale}/100" for scale in scales]})
    assert_as_single_sizes(made, request, result)


def test_of_two_straps_that_are_equally_near_the_first_is_taken() -> None:
    # By hand: both widths lie 5 mm from 25 mm, neither is 25, and no rule binds at the base size.
    made = prepared(webbed(["20 mm", "30 mm"]))
    request, result = solved(made, {"scales": [1, 1, "9/10"]})
    strap = result.dimensions.index("strap")
    assert result.values[:, strap].tolist() == [20, 20, 20]
    assert_as_single_sizes(made, request, result)


def test_row_that_no_stock_suits_names_the_stock() -> None:
    made = prepared(webbed(["20 mm", "25 mm"]))
    _, result = solved(made, {"columns": ["width"], "rows": [["120 mm"], ["200 mm"]]})
    assert result.status.tolist() == [RowStatus.AS_WISHED, RowStatus.FAILS]
    reason = result.reasons[result.reason[1]]
    assert set(reason) == {"rule:stout", "stock:strap", "asked:width"}
    assert reason[0] == "rule:stout"


def test_sizes_with_a_root_in_a_seam_are_found_row_by_row() -> None:
    made = prepared(slanted())
    request, result = solved(made, {"scales": [1, "9/10", "12/10", 2]})
    assert (result.status != RowStatus.FAILS).all()
    assert_as_single_sizes(made, request, result)
    # From outside: the two slants are equally long.
    at = {name: result.values[:, place] for place, name in enumerate(result.dimensions)}
    left, right = np.hypot(at["across"], at["along"]), np.hypot(at["other_across"], at["other_along"])
    assert left == pytest.approx(right, abs=NEAR)


def test_nothing_that_decides_a_dimension_is_told_as_for_a_single_size() -> None:
    document = changed(pouch(), "dimensions.loose", {"base": 30, "sizing": "decided"})
    made = prepared(document)
    with pytest.raises(DocumentFaults) as refused:
        solved(made, {"scales": [1]})
    assert [fault.path for fault in refused.value.faults] == ["dimensions.loose"]


@pytest.mark.parametrize("seed", range(3))
def test_scipy_finds_nothing_nearer(demo_prepared: Demo, seed: int) -> None:
    made = demo_prepared("market_tote")
    random = Random(seed)
    request, result = solved(made, {"scales": [f"{random.randint(55, 150)}/100" for _ in range(4)]})
    for row in np.flatnonzero(result.status != RowStatus.FAILS).tolist():
        problem = pose(made.model, request.request(row))
        names = list(problem.dimensions)
        chosen = {choice.dimension: result.values[row][names.index(choice.dimension)] for choice in problem.stock}
        _assert_least(problem, names, chosen, result.values[row])


def _assert_least(problem: Problem, names: list[str], chosen: dict[str, float], ours: Any) -> None:
    rows = [(relation.is_equation, _coefficients(relation, names)) for relation in problem.relations]
    equal = [row for is_equation, row in rows if is_equation]
    equal += [[*(float(n == name) for n in names), -value] for name, value in chosen.items()]
    above = np.array([row for is_equation, row in rows if not is_equation])
    equations = np.array(equal)
    assert equations[:, :-1] @ ours + equations[:, -1] == pytest.approx(0, abs=NEAR)
    assert (above[:, :-1] @ ours + above[:, -1]).min() >= -NEAR
    wish = np.array([float(problem.wish.get(n, 0)) for n in names])
    heavy = np.sqrt([float(problem.weight.get(n, 0)) for n in names])
    # Equations may follow from each other, which SLSQP does not bear: it searches in what they leave free.
    origin = np.linalg.lstsq(equations[:, :-1], -equations[:, -1], rcond=None)[0]
    free = null_space(equations[:, :-1])
    other = minimize(
        lambda z: 1e3 * ((heavy * (origin + free @ z - wish)) ** 2).sum(),
        free.T @ (ours - origin) * 0.9,
        method="SLSQP",
        constraints=[{"type": "ineq", "fun": lambda z: above[:, :-1] @ (origin + free @ z) + above[:, -1]}],
        options={"ftol": 1e-15, "maxiter": 500},
    )
    assert ((heavy * (ours - wish)) ** 2).sum() == pytest.approx(other.fun / 1e3, abs=1e-6)


def _coefficients(relation: Relation, names: list[str]) -> list[float]:
    form = relation.form
    return [float(form.plain.get(n, Fraction(0)) + PI40 * form.pi.get(n, Fraction(0))) for n in (*names, "")]


@pytest.mark.parametrize(
    ("written", "status"),
    [
        ("420 mm", RowStatus.AS_WISHED),
        ("420.000000000000001 mm", RowStatus.FAILS),
        ("419.999999999999999 mm", RowStatus.AS_WISHED),
        ("420.0001 mm", RowStatus.FAILS),
    ],
)
def test_limit_is_judged_exactly_where_floats_cannot_tell(demo_prepared: Demo, written: str, status: RowStatus) -> None:
    made = demo_prepared("ferry_day_pack")
    assert float(written.split(maxsplit=1)[0]) in {420.0, 420.0001}
    _, result = solved(made, {"columns": ["width"], "others": "at base", "rows": [[written]]})
    failing = result.status[0] == RowStatus.FAILS
    assert failing == (status == RowStatus.FAILS)
    if failing:
        assert result.reasons[result.reason[0]][0] == "limits:width:most"
    assert result.exact > 0 or written == "420.0001 mm"


def test_row_at_the_very_edge_of_what_binds_is_as_wished() -> None:
    # By hand: 3 × 25 mm is 75 mm, so at a width of 75 mm the rule holds and nothing is moved.
    made = prepared(webbed(["25 mm"]))
    _, result = solved(made, {"scales": ["75/120", "74/120", "76/120"]})
    assert result.status.tolist() == [RowStatus.AS_WISHED, RowStatus.BOUND, RowStatus.AS_WISHED]
    assert [result.reasons[place] for place in result.reason] == [(), ("rule:slim",), ()]
    assert result.values[1][result.dimensions.index("width")] == 75


def test_columns_that_contradict_each_other_fail_unless_they_agree_to_the_digit() -> None:
    document = changed(pouch(), "rules.square", {"holds": "height == width*3/4", "because": "it is drawn so"})
    made = prepared(document)
    rows = [[120, 90], [100, 75], ["100 mm", "75.000000000000001 mm"], [100, 80]]
    request, result = solved(made, {"columns": ["width", "height"], "rows": rows})
    assert (result.status == RowStatus.FAILS).tolist() == [False, False, True, True]
    assert set(result.reasons[result.reason[3]]) == {"rule:square", "asked:width", "asked:height"}
    assert_as_single_sizes(made, request, result)


def test_order_of_rows_changes_nothing(demo_prepared: Demo) -> None:
    made = demo_prepared("ferry_day_pack")
    rows = rows_of(Random(9), list(DAY_PACK), 300)
    _, forward = solved(made, {"columns": list(DAY_PACK), "rows": rows})
    _, backward = solved(made, {"columns": list(DAY_PACK), "rows": rows[::-1]})
    assert forward.status.tolist() == backward.status.tolist()[::-1]
    assert np.allclose(forward.values, backward.values[::-1], atol=NEAR, rtol=0, equal_nan=True)


def test_solver_that_knows_the_maps_already_gives_the_same(demo_prepared: Demo) -> None:
    made = demo_prepared("ferry_day_pack")
    data = {"columns": list(DAY_PACK), "rows": rows_of(Random(4), list(DAY_PACK), 400)}
    request = read_batch(data)
    solver = BatchSolver(made.model, made.compiled, request.kind)
    first, second = solver.solve(request), solver.solve(request)
    assert first.status.tolist() == second.status.tolist()
    assert np.allclose(first.values, second.values, atol=NEAR, rtol=0, equal_nan=True)


def test_lines_say_what_holds_and_what_fails(demo_prepared: Demo) -> None:
    made = demo_prepared("ferry_day_pack")
    _, result = solved(made, {"columns": ["width"], "rows": [[300], [900]]})
    sound, failing = result.lines()
    assert (sound["row"], sound["consistent"], sound["on_ruler"]) == (0, True, False)
    assert sound["dimensions"]["width"] == 300
    assert failing["fails"] == "limits:width:most"
    assert failing["says"] == "width is at most 420 mm"
    assert "dimensions" not in failing


def test_batch_can_be_stopped(demo_prepared: Demo) -> None:
    made = demo_prepared("ferry_day_pack")
    request = read_batch({"scales": [1, 2]})
    with pytest.raises(Stopped):
        BatchSolver(made.model, made.compiled, request.kind).solve(request, lambda: True)


def test_single_sizes_from_the_maps_are_those_of_the_batch(demo_prepared: Demo) -> None:
    made = demo_prepared("ferry_day_pack")
    rows = rows_of(Random(2), list(DAY_PACK), 200)
    _, result = solved(made, {"columns": list(DAY_PACK), "rows": rows})
    single = SizeMap(BatchSolver(made.model, made.compiled, Kind(tuple(DAY_PACK))))
    for _ in range(2):  # the second time all maps are known
        for row, asked in enumerate(rows):
            if result.status[row] == RowStatus.FAILS:
                with pytest.raises(Conflict):
                    single.nearest(asked)
                continue
            assert single.nearest(asked) == pytest.approx(result.values[row], abs=NEAR)
            assert bool(single.held(asked)) == (result.status[row] == RowStatus.BOUND)


def test_single_size_from_the_maps_is_judged_exactly_at_a_limit(demo_prepared: Demo) -> None:
    made = demo_prepared("ferry_day_pack")
    single = SizeMap(BatchSolver(made.model, made.compiled, Kind(("width",), "at base")))
    width = single.dimensions.index("width")
    assert single.nearest([419.0])[width] == 419
    assert single.nearest([420.0])[width] == 420
    with pytest.raises(Conflict) as refused:
        single.nearest([420.0000000000001])
    assert {relation.id for relation in refused.value.relations} == {"limits:width:most", "asked:width"}


def test_wishes_of_a_kind_are_those_of_its_sizes(demo_prepared: Demo) -> None:
    made = demo_prepared("ferry_day_pack")
    for data in ({"scales": ["7/10"]}, {"columns": ["width", "depth"], "rows": [["321 mm", "8 in"]]}):
        request = read_batch(data)
        solver = BatchSolver(made.model, made.compiled, request.kind)
        values = dict(zip((*request.kind.parameters, ""), (*request.exactly(0), Fraction(1)), strict=True))
        wished = {
            name: sum((Fraction(str(c)) * values[key] for key, c in row.items()), Fraction(0))
            for name, row in solver.posed.wish.items()
        }
        assert wished == pose(made.model, request.request(0)).wish


def test_nearest_point_of_the_base_size_is_the_base(demo_prepared: Demo) -> None:
    made = demo_prepared("market_tote")
    request, result = solved(made, {"scales": [1]})
    point = nearest_point(pose(made.model, request.request(0)), made.compiled)
    assert result.values[0].tolist() == [float(point[name]) for name in result.dimensions]
