"""The order forms of the demo patterns: proven with every choice of options, and sizes drawn from them verified."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pytest

from grading import verify
from grading.document.options import representative_choices
from grading.errors import DocumentFaults
from grading.exact import print_length
from grading.pipeline import grade_document, grade_size, prepare, range_variant, read_document, size_range
from grading.verify import UnreadableInput
from tests.benchmarks import demo
from tests.benchmarks.ranges import drawn
from tests.patterns import changed, pouch

SEED = 20_261_126


@pytest.mark.parametrize("name", demo.names())
def test_order_forms_of_the_demos_are_proven_whatever_options_are_chosen(name: str) -> None:
    pattern = read_document(demo.document(name))
    assert pattern.order is not None
    for choices in representative_choices(pattern):
        assert size_range(prepare(pattern, range_variant(pattern, choices))).verdict.proven, choices


@pytest.mark.parametrize("name", demo.names())
def test_orders_within_a_proven_form_are_made_and_pass_the_independent_check(name: str) -> None:
    document = demo.document(name)
    pattern, generator = read_document(document), random.Random(SEED)
    prepared = prepare(pattern, range_variant(pattern))
    box = size_range(prepared).asked
    for number in range(6):
        size = {side: print_length(value) for side, value in drawn(box, generator).items()}
        grade = grade_size(pattern, request={"set": size, "others": box.others}, prepared=prepared)
        if number < 2:
            assert verify.judge(document, grade_document(grade)).holds


def ordered(**order: Any) -> dict[str, Any]:
    return changed(pouch(), "order", order)


def test_an_order_form_is_read_with_its_ends_and_its_others() -> None:
    pattern = read_document(ordered(choose={"width": ["100 mm", 150], "height": ["4 in", "5 in"]}))
    found = size_range(prepare(pattern, range_variant(pattern))).asked
    assert found.sides["width"] == (Fraction(100), Fraction(150))
    assert found.sides["height"] == (Fraction("101.6"), Fraction(127))  # 4 in and 5 in, an inch being 25.4 mm
    assert found.others == "at base"


BROKEN = [
    (ordered(choose={"girth": [1, 2]}), "order.choose.girth"),
    (ordered(choose={"pocket_width": [1, 2]}), "order.choose.pocket_width"),
    (ordered(choose={"width": [150, 100]}), "order.choose.width"),
    (ordered(choose={"width": [0, 100]}), "order.choose.width"),
    (ordered(choose={"width": [100]}), "order.choose.width"),
    (ordered(choose={"width": ["wide", "wider"]}), "order.choose.width.0"),
    (ordered(choose={}), "order.choose"),
    (ordered(choose={"width": [100, 150]}, others="as they like"), "order.others"),
    (ordered(), "order"),
    (ordered(choose={"width": [100, 150]}, price="1 mm"), "order.price"),
]


@pytest.mark.parametrize(("document", "path"), BROKEN)
def test_an_order_form_with_faults_is_refused_where_they_are(document: dict[str, Any], path: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(document)
    assert any(fault.path.startswith(path) for fault in refused.value.faults)


@pytest.mark.parametrize(
    "document", [document for document, path in BROKEN if "girth" not in path and "pocket" not in path]
)
def test_the_verifier_refuses_an_order_form_that_is_not_written_as_one(document: dict[str, Any]) -> None:
    grade = grade_document(grade_size(read_document(pouch()), "base"))
    with pytest.raises(UnreadableInput):
        verify.judge(document, grade)
