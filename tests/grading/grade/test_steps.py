"""The steps of a size, with the right number in each."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import DocumentFaults
from grading.pipeline import grade_document, grade_size, read_document
from tests.patterns import changed, pouch

Json = dict[str, Any]


def text(written: str, **request: Any) -> str:
    document = changed(pouch(), "dimensions.pleats", {"base": 3, "kind": "count"})
    tape = {"elastic": {"width": 20, "length": "width", "stretch": "5/4", "ends": {"by": 10}}}
    document = changed(document, "findings.tape", tape)
    document = changed(document, "steps.0.text", written)
    grade = grade_document(grade_size(read_document(document), request={"scale": 1, **request}))
    first: str = grade["steps"][0]
    return first


@pytest.mark.parametrize(
    ("written", "filled"),
    [
        ("{width} wide", "120 mm wide"),
        ("{pleats} pleats", "3 pleats"),
        ("{panel.width} by {front.height}", "120 mm by 90 mm"),
        ("{front.top.allowance}", "25 mm"),
        ("{panel.right.length}", "90 mm"),
        ("{side.length}", "90 mm"),
        ("{pocket_on_front.clear.top}, {pocket_on_front.clear.bottom}", "30 mm, 10 mm"),
        ("{tape.width} by {tape.length}", "20 mm by 116 mm"),
        ("{{width}} and }}", "{width} and }"),
        ("nothing to fill", "nothing to fill"),
    ],
)
def test_measures_are_filled_in(written: str, filled: str) -> None:
    assert text(written) == filled


def test_measures_are_in_inches_on_a_ruler_of_inches() -> None:
    assert text("{width}, {front.top.allowance}", ruler="1/8 in") == "4 3/4 in, 1 in"


@pytest.mark.parametrize(
    "path", ["girth", "side.width", "front.roof.length", "panel.area", "stud.length", "", "a.b.c.d"]
)
def test_a_measure_that_leads_nowhere_is_a_fault_of_its_step(path: str) -> None:
    with pytest.raises(DocumentFaults) as refused:
        read_document(changed(pouch(), "steps.2.text", f"Tack {{{path}}}."))
    assert [fault.path for fault in refused.value.faults] == ["steps.2.text"]
    assert path in refused.value.faults[0].problem


def test_what_a_measure_holds_is_never_read_as_more_than_text() -> None:
    for hostile in ("{width.__class__}", "{0}", "{width!r}", "{width:>10}", "{pi}"):
        with pytest.raises(DocumentFaults):
            read_document(changed(pouch(), "steps.2.text", hostile))
