"""Batches that cannot be taken: everything that is wrong at once, with its place."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from grading.batch import MOST_ROWS, read_batch
from grading.errors import Fault, RequestFaults
from grading.pipeline import Prepared
from tests.grading.batch.support import prepared, solved, webbed

Demo = Callable[[str], Prepared]


def faults_of(data: Any) -> list[Fault]:
    with pytest.raises(RequestFaults) as refused:
        read_batch(data)
    return list(refused.value.faults)


@pytest.mark.parametrize(
    ("data", "path"),
    [
        ([], "batch"),
        ({}, "batch"),
        ({"scales": []}, "scales"),
        ({"scales": "1"}, "scales"),
        ({"scales": [1], "rows": [[1]]}, "batch"),
        ({"scales": [1], "others": "at base"}, "others"),
        ({"scales": [1], "sizes": []}, "sizes"),
        ({"columns": ["width"], "rows": []}, "rows"),
        ({"columns": ["width"]}, "rows"),
        ({"columns": [], "rows": [[1]]}, "columns"),
        ({"columns": [1], "rows": [[1]]}, "columns"),
        ({"columns": ["width", "width"], "rows": [[1, 2]]}, "columns"),
        ({"columns": ["width"], "rows": [[1, 2]]}, "rows.0"),
        ({"columns": ["width"], "rows": [[300], 300]}, "rows.1"),
        ({"columns": ["width"], "rows": [[300]], "others": "somehow"}, "others"),
        ({"columns": ["width"], "rows": [[300], [math.nan]]}, "rows.1.0"),
        ({"columns": ["width"], "rows": [[math.inf]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": [[0]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": [[-5]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": [["21 m"]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": [["wide"]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": [[None]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": [[True]]}, "rows.0.0"),
        ({"columns": ["width"], "rows": [[{}]]}, "rows.0.0"),
        ({"scales": [1, 0]}, "scales.1"),
        ({"scales": [math.nan]}, "scales.0"),
        ({"scales": [101]}, "scales.0"),
        ({"scales": ["7/0"]}, "scales.0"),
        ({"scales": ["300 mm"]}, "scales.0"),
    ],
)
def test_each_fault_has_its_place(data: Any, path: str) -> None:
    assert path in [fault.path for fault in faults_of(data)]


def test_more_rows_than_a_batch_takes_are_refused_with_the_limit() -> None:
    (fault,) = faults_of({"scales": [1] * (MOST_ROWS + 1)})
    assert str(MOST_ROWS) in fault.problem
    assert str(MOST_ROWS + 1) in fault.problem
    assert len(read_batch({"scales": [1] * MOST_ROWS})) == MOST_ROWS


def test_several_faulty_cells_are_told_at_once() -> None:
    paths = [fault.path for fault in faults_of({"columns": ["a", "b"], "rows": [[1, 0], [1, 1], ["x", 1]]})]
    assert paths == ["rows.0.1", "rows.2.0"]


@pytest.mark.parametrize("column", ["girth", "side_width", "mesh_count"])
def test_columns_that_cannot_be_set_are_named(demo_prepared: Demo, column: str) -> None:
    with pytest.raises(RequestFaults) as refused:
        solved(demo_prepared("ferry_day_pack"), {"columns": ["width", column], "rows": [[300, 1]]})
    assert [fault.path for fault in refused.value.faults] == ["columns.1"]


def test_column_from_stock_takes_what_is_in_stock() -> None:
    made = prepared(webbed(["20 mm", "25 mm", "30 mm"]))
    _, result = solved(made, {"columns": ["strap"], "rows": [["20 mm"], [30]]})
    strap = result.dimensions.index("strap")
    assert result.values[:, strap].tolist() == [20, 30]
    with pytest.raises(RequestFaults) as refused:
        solved(made, {"columns": ["strap"], "rows": [[20], [22]]})
    assert [fault.path for fault in refused.value.faults] == ["rows.1.0"]
