"""Batches in parts: every row in one part, and the answers as if there had been one."""

from __future__ import annotations

import base64
import json
import random
import zlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.jobs.batching import joined, unpacked
from api.jobs.splitting import LEAST_ROWS, MOST_ROWS, merged, parts


def _arguments(rows: int, field: str = "rows") -> dict[str, Any]:
    listed = [[number] for number in range(rows)] if field == "rows" else list(range(1, rows + 1))
    return {"document": "{}", "request": json.dumps({"columns": ["width"], field: listed})}


@given(rows=st.integers(1, 12_000), workers=st.integers(1, 200), field=st.sampled_from(["rows", "scales"]))
def test_every_row_is_in_one_part_in_its_order(rows: int, workers: int, field: str) -> None:
    arguments = _arguments(rows, field)
    made = list(parts(arguments, workers))
    read = [json.loads(part["request"]) for part in made]
    assert [row for request in read for row in request[field]] == json.loads(arguments["request"])[field]
    sizes = [len(request[field]) for request in read]
    assert [part["first"] for part in made] == [sum(sizes[:place]) for place in range(len(sizes))]
    assert max(sizes) <= MOST_ROWS
    assert all(size >= LEAST_ROWS for size in sizes[:-1])


def test_a_batch_without_rows_is_one_part_for_a_worker_to_refuse() -> None:
    assert len(list(parts(_arguments(0), 4))) == 1


def test_lines_follow_each_other_in_the_order_of_the_parts() -> None:
    chosen = random.Random(7)
    contents = [
        f'{{"row": {place}, "x": {chosen.random()}}}\n'.encode() * chosen.randint(1, 9000) for place in range(9)
    ]
    packed = [base64.b64encode(zlib.compress(content, 1)).decode() for content in contents]
    answer = merged([{"first": 0}] * 9, [{"done": text} for text in packed])
    assert b"".join(unpacked(answer["done"])) == b"".join(contents)
    assert b"".join(unpacked(joined(packed[:1]))) == contents[0]


def _refused(kind: str, *paths: str) -> dict[str, Any]:
    return {"refused": {"kind": kind, "faults": [{"path": path, "problem": "p", "remedy": "r"} for path in paths]}}


def test_faults_are_told_with_their_rows_in_the_whole_batch() -> None:
    asked = [{"first": 0}, {"first": 500}, {"first": 1000}]
    answer = merged(asked, [_refused("request", "rows.3.0"), {"done": ""}, _refused("request", "rows.7", "scales.2")])
    assert [fault["path"] for fault in answer["refused"]["faults"]] == ["rows.3.0", "rows.1007", "scales.1002"]


def test_what_is_wrong_with_all_parts_is_told_once() -> None:
    answer = merged([{"first": 0}, {"first": 500}], [_refused("request", "columns.0")] * 2)
    assert [fault["path"] for fault in answer["refused"]["faults"]] == ["columns.0"]


@pytest.mark.parametrize("kind", ["conflict", "document", "stopped"])
def test_another_refusal_stands_for_the_whole(kind: str) -> None:
    answers = [{"done": ""}, _refused("request", "rows.0"), {"refused": {"kind": kind}}]
    assert merged([{"first": 0}] * 3, answers) == {"refused": {"kind": kind}}


def test_a_part_that_failed_fails_the_whole() -> None:
    assert merged([{"first": 0}] * 2, [{"done": ""}, {"failed": "ZeroDivisionError"}]) == {
        "failed": "ZeroDivisionError"
    }
