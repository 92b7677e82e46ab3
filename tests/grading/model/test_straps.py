"""Straps that adjust: sized for a wearer, cut long enough for the range, and not too long to be shortened to it."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import Conflict
from grading.pipeline import grade_document, grade_size, read_document
from grading.verify import judge
from grading.verify.verdict import Verdict
from tests.patterns import GONE, changed, pouch

Json = dict[str, Any]


def bag(**adjusts: Any) -> Json:
    """The pouch on a strap over the shoulder, which is worn from 700 to 1250 mm long."""
    document = pouch()
    document["dimensions"] |= {
        "strap_least": {"base": 700, "sizing": "fixed", "says": "worn by a child"},
        "strap_most": {"base": 1250, "sizing": "fixed", "says": "worn across the chest of a tall wearer"},
        "strap_length": {"base": 1380, "sizing": "fixed"},
    }
    document["findings"]["strap"] = {
        "webbing": {
            "width": "25 mm",
            "length": "strap_length",
            "ends": {"by": "30 mm"},
            "adjusts": {"least": "strap_least", "most": "strap_most", "takes": "110 mm", "doubled": True} | adjusts,
        }
    }
    document["steps"][3]["uses"].append("strap")
    document["sizes"]["half"] = {"scale": "1/2"}
    return changed(document, "dimensions.width.limits", ["50 mm", "200 mm"])


def graded(document: Json, size: str = "base") -> tuple[Json, Verdict]:
    grade = grade_document(grade_size(read_document(document), size=size))
    return grade, judge(document, grade)


def refused(document: Json) -> set[str]:
    with pytest.raises(Conflict) as conflict:
        grade_size(read_document(document), size="base")
    return {relation.id for relation in conflict.value.relations}


def test_a_strap_reaches_its_range_and_is_cut_with_its_ends() -> None:
    grade, verdict = graded(bag())
    strap = next(row for row in grade["findings"] if row["name"] == "strap")
    assert strap["length"] == "1440 mm"  # 1380 and 30 at each end
    assert strap["adjusts"] == {"least": "700 mm", "most": "1250 mm"}
    about = {claim.about for claim in verdict.claims if claim.about.startswith("finding:strap")}
    names = ("length", "adjusts", "adjusts:least", "adjusts:doubled")
    assert about == {f"finding:strap:{name}" for name in names}
    assert verdict.failing == ()


def test_a_strap_is_made_for_its_wearer_whatever_the_size_of_the_bag() -> None:
    small = changed(bag(), "contents", {})
    small["coverings"]["pocket_on_front"]["clear"]["top"] = "10 mm"
    small = changed(small, "pieces.panel.lines.floor.from.1", -30)
    small = changed(small, "pieces.panel.lines.floor.to.1", -30)
    (half, verdict), (base, _) = graded(small, "half"), graded(small)
    assert verdict.failing == ()
    assert half["findings"][1] == base["findings"][1]
    assert half["dimensions"]["width"]["value"] == "60 mm"


def test_a_strap_that_cannot_reach_its_longest_is_refused_with_its_measures() -> None:
    """1250 worn and 110 for the hardware need 1360 mm."""
    document = changed(bag(), "dimensions.strap_length.base", 1359)
    assert refused(document) == {"finding:strap:adjusts", "fixed:strap_length", "fixed:strap_most"}
    assert graded(changed(document, "dimensions.strap_length.base", 1360))[1].failing == ()


def test_a_doubled_strap_is_not_worn_shorter_than_half_of_it() -> None:
    """Geometry: what is worn and what runs back are one strap; 1380 less 110 doubled is 635 mm."""
    assert graded(bag(least="635 mm"))[1].failing == ()
    assert refused(bag(least="634 mm")) == {"finding:strap:adjusts:doubled", "fixed:strap_length"}
    assert graded(bag(least="300 mm", doubled=False))[1].failing == ()


def test_the_longest_is_not_shorter_than_the_shortest() -> None:
    assert "finding:strap:adjusts:least" in refused(bag(least="1251 mm"))


def test_the_verifier_finds_a_range_that_is_not_reached() -> None:
    grade, _ = graded(bag())
    longer = changed(bag(), "findings.strap.webbing.adjusts.takes", "140 mm")
    failing = {claim.about for claim in judge(longer, grade).failing}
    assert "finding:strap:adjusts" in failing
    grade["findings"][1]["adjusts"]["most"] = "1260 mm"
    assert [claim.about for claim in judge(bag(), grade).failing] == ["printed:findings.1.adjusts.most"]


def test_webbing_without_a_range_has_none() -> None:
    grade, verdict = graded(changed(bag(), "findings.strap.webbing.adjusts", GONE))
    assert verdict.failing == ()
    assert all("adjusts" not in row for row in grade["findings"])


def test_the_range_holds_on_a_ruler_in_inches_too() -> None:
    document = bag(takes="130 mm") | {"ruler": "1/8 in"}
    grade, verdict = graded(document)
    assert verdict.failing == ()
    assert grade["findings"][1]["adjusts"]["most"] == "1250 mm"  # a wearer's measure stays as it is written
