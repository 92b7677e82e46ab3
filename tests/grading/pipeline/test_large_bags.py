"""Bags of more pieces than there are letters, graded and judged by the independent verifier."""

from __future__ import annotations

import json

from grading.pipeline import compile_document, grade_document, grade_size, read_document
from grading.proof import prove
from grading.verify import judge
from tests.benchmarks.generated import bag


def test_bag_of_more_pieces_than_letters_keeps_every_claim() -> None:
    document = bag(60)
    pattern = read_document(document)
    grade = grade_size(pattern, request={"scale": "11/10"}, prepared=compile_document(pattern))
    assert all(claim.holds for claim in prove(grade))
    verdict = judge(document, json.loads(json.dumps(grade_document(grade))))
    assert [claim for claim in verdict.to_json()["claims"] if not claim["holds"]] == []


def test_rows_of_equal_size_are_listed_z_before_aa() -> None:
    pattern = read_document(bag(60))
    rows = grade_document(grade_size(pattern, size="base"))["cut_list"]
    alike: dict[tuple[str, str, str], list[str]] = {}
    for row in rows:
        alike.setdefault((row["material"], row["across"], row["along"]), []).append(row["letter"])
    assert any({len(letter) for letter in letters} == {1, 2} for letters in alike.values())
    assert all(letters == sorted(letters, key=lambda each: (len(each), each)) for letters in alike.values())
