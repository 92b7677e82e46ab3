"""Cloth is narrower when washed: pieces must fit it, and strips are counted for it."""

from __future__ import annotations

import pytest

from grading.errors import Conflict
from grading.pipeline import grade_size, read_document
from tests.patterns import changed, sheet

SHRINKING = {"usable_width": "1000 mm", "shrinkage": {"across": "2 %"}}


def test_a_piece_must_fit_the_washed_width() -> None:
    document = sheet({"rectangle": ["width", 90]}, {"width": 960})  # 980 with its allowances
    document = changed(document, "materials.main", SHRINKING)
    assert grade_size(read_document(document), size="base").cut_list[0].first.across == 980
    wider = changed(document, "dimensions.width.base", 961)
    with pytest.raises(Conflict) as refused:
        grade_size(read_document(changed(wider, "dimensions.width.sizing", "fixed")), size="base")
    assert {relation.id for relation in refused.value.relations} == {"cloth:sheet:main", "fixed:width"}
    unwashed = changed(wider, "materials.main.washed", False)
    assert grade_size(read_document(unwashed), size="base").cut_list[0].first.across == 981


def test_strips_are_joined_from_washed_widths() -> None:
    document = sheet({"rectangle": ["width", 90]}, {"width": 1930}, strip=True)  # 1950 with its allowances
    for material, count in ((SHRINKING, 3), ({"usable_width": "1000 mm"}, 2)):
        grade = grade_size(read_document(changed(document, "materials.main", material)), size="base")
        strips = grade.cut_list[0].strips
        assert strips is not None
        assert strips.count == count  # (1950 - 20) / (980 - 20) is above 2, / (1000 - 20) below
