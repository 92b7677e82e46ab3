"""What an answer tells of each dimension. Values are worked out by hand beside each test."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import grading
from grading.compare import DimensionAnswer, Explanation
from grading.compare.reasons import pulls_of
from grading.errors import Conflict, RulerOutOfReach
from grading.grade import Grade
from grading.solve import solve
from tests.patterns import changed, pouch

DEMOS = sorted((Path(__file__).parents[3] / "demo_requests" / "patterns").glob("*.json"))
SOLVERS_WORDS = re.compile(
    r"constrain|multiplier|feasib|variable|equation|inequalit|solver|optim|lagrang|kkt|\bsnap|gradient|quadratic", re.I
)


def graded(document: dict[str, Any], **request: Any) -> Grade:
    return grading.grade_size(grading.read_document(document), request=request)


def explained(document: dict[str, Any], **request: Any) -> dict[str, DimensionAnswer]:
    return {answer.name: answer for answer in grading.explain(graded(document, **request)).dimensions}


def ids(answer: DimensionAnswer) -> set[str]:
    return {relation.id for relation in answer.because}


def test_a_size_in_proportion_is_as_wished() -> None:
    told = explained(pouch(), scale="3/2")
    assert told["height"].says == "height: 135 mm, as wished"
    assert told["width"].because == ()


def test_a_limit_is_given_as_the_reason() -> None:
    told = explained(pouch(), scale=2)  # 2 × 120 = 240, and the width may be 200 at most
    assert told["width"].says == "width: 200 mm instead of 240 mm, since width is at most 200 mm"
    assert ids(told["width"]) == {"limits:width:most"}
    assert told["height"].says == "height: 180 mm, as wished"


def test_a_card_in_the_pocket_keeps_the_whole_pouch_from_getting_smaller() -> None:
    # The card needs 86 + 1 mm across and 54 - 20 mm along; the pocket lies 30 mm below the top: 30 + 34 = 64.
    told = explained(pouch(), scale="1/2")
    lengths = {name: (told[name].wished, told[name].nearest, told[name].given) for name in told}
    assert lengths == {
        "width": (60, 87, 87),
        "height": (45, 64, 64),
        "pocket_width": (None, 87, 87),
        "pocket_height": (25, 34, 34),
    }
    assert told["width"].says == (
        "width: 87 mm instead of 60 mm, since pocket is at least 87 mm wide (card), "
        "through the place of pocket_on_front"
    )
    assert "contents:card:along" in ids(told["height"])
    assert "contents:card:across" not in ids(told["height"])
    assert ids(told["pocket_height"]) == {"contents:card:along"}


def test_what_was_asked_is_as_asked_and_the_ruler_rounds_the_rest() -> None:
    told = explained(pouch(), set={"width": "150 mm"})  # 150/120 = 5/4; 5/4 × 90 = 112.5
    assert told["width"].says == "width: 150 mm, as asked"
    assert told["width"].asked == 150
    assert told["height"].wished == Fraction(225, 2)
    assert told["height"].given in (112, 113)
    assert not told["height"].is_held
    assert f"{told['height'].given} mm instead of 112.5 mm" in told["height"].says
    assert "the ruler of 1 mm" in told["height"].says


def test_a_rule_speaks_with_the_designers_reason() -> None:
    ruled = changed(pouch(), "rules.lip", {"holds": "height >= 100", "because": "a hand must get in."})
    assert explained(ruled, scale=1)["height"].says == "height: 100 mm instead of 90 mm, since a hand must get in"


def test_a_rule_at_the_same_place_as_a_limit_is_told_too_and_first() -> None:
    ruled = changed(pouch(), "rules.loom", {"holds": "width <= 200", "because": "the loom is no wider"})
    answer = explained(ruled, scale=2)["width"]
    assert answer.says == "width: 200 mm instead of 240 mm, since the loom is no wider and width is at most 200 mm"
    assert ids(answer) == {"limits:width:most", "rule:loom"}


def test_two_wishes_that_a_rule_ties_both_give_way() -> None:
    # height + width = 200, wished 90 and 120: least (w-120)²/120² + (h-90)²/90² is at w = 120 - 10·120²/(120²+90²).
    tied = changed(pouch(), "rules.cord", {"holds": "width + height == 200", "because": "one cord goes round both"})
    told = explained(tied, scale=1)
    assert told["width"].nearest == 120 - Fraction(10 * 120**2, 120**2 + 90**2) == Fraction(568, 5)
    assert ids(told["width"]) == ids(told["height"]) == {"rule:cord"}
    assert told["height"].says.startswith(
        "height: 86 mm instead of 90 mm, to keep the rule that one cord goes round both"
    )


def test_an_asked_width_is_the_reason_for_a_height_that_is_tied_to_it() -> None:
    tied = changed(pouch(), "rules.cord", {"holds": "width + height == 200", "because": "one cord goes round both"})
    told = explained(tied, set={"width": "130 mm"}, others="at base")
    assert told["height"].says == (
        "height: 70 mm instead of 90 mm, since width is 130 mm, as asked, "
        "through the rule that one cord goes round both"
    )


@pytest.mark.parametrize(
    ("least", "value", "says"),
    [
        (20, 25, "strap: 25 mm, as drafted, and in stock"),
        (30, 38, "strap: 38 mm instead of 25 mm, since the hook is 30 mm wide"),
    ],
)
def test_what_comes_from_stock_says_why_it_is_not_the_drafted_one(least: int, value: int, says: str) -> None:
    document = changed(pouch(), "stock.webbing", ["20 mm", "25 mm", "38 mm"])
    document = changed(document, "dimensions.strap", {"base": 25, "sizing": "stock", "stock": "webbing"})
    rule = {"holds": f"strap >= {least}", "because": f"the hook is {least} mm wide"}
    answer = explained(changed(document, "rules.hook", rule), scale=1)["strap"]
    assert (answer.given, answer.choices, answer.says) == (value, (20, 25, 38), says)


def test_a_count_is_told_as_a_number() -> None:
    answer = explained(changed(pouch(), "dimensions.pleats", {"base": 3, "kind": "count"}), scale=2)["pleats"]
    assert (answer.says, answer.is_held, answer.differs) == ("pleats: 3", False, False)


def test_a_decided_dimension_names_what_decides_it() -> None:
    answer = explained(pouch(), scale=1)["pocket_width"]
    assert answer.says == "pocket_width: 120 mm, decided by the place of pocket_on_front"


def test_the_document_of_an_answer_is_plain_and_complete() -> None:
    explanation = grading.explain(graded(pouch(), scale=2))
    written = json.loads(json.dumps(grading.answer_document(explanation)))
    assert written["dimensions"]["width"] | {"because": [], "says": ""} == {
        "title": "finished width",
        "sizing": "proportion",
        "asked": None,
        "wished": "240 mm",
        "nearest": "200 mm",
        "given": "200 mm",
        "in_stock": [],
        "because": [],
        "says": "",
    }
    assert [relation["id"] for relation in written["held"]] == ["limits:width:most"]
    assert written["says"] == ["width: 200 mm instead of 240 mm, since width is at most 200 mm"]
    assert written["size"]["request"]["scale"] == 2


def test_lengths_are_told_on_a_ruler_in_inches() -> None:
    answer = explained(pouch(), scale="1/2", ruler="1/8 in")["width"]
    assert answer.says.startswith("width: 3 1/2 in instead of 60 mm,")  # 87 mm are 3.425 in


def demo_explanations() -> list[tuple[str, Explanation]]:
    found = []
    for path in DEMOS:
        pattern = grading.read_document(json.loads(path.read_text(encoding="utf-8")))
        for scale in ("1/2", "7/10", "9/10", "11/10", "7/5"):
            try:
                grade = grading.grade_size(pattern, request={"scale": scale})
            except (Conflict, RulerOutOfReach):
                continue
            found.append((f"{path.stem} × {scale}", grading.explain(grade)))
    return found


@pytest.fixture(scope="module")
def demos() -> list[tuple[str, Explanation]]:
    return demo_explanations()


def test_some_demo_sizes_are_held_back(demos: list[tuple[str, Explanation]]) -> None:
    assert len({name for name, explanation in demos if explanation.held}) >= 2


def test_pulls_of_all_relations_balance_the_distance_from_the_wish(demos: list[tuple[str, Explanation]]) -> None:
    for name, explanation in demos:
        problem, pulls = explanation.grade.problem, pulls_of(explanation.grade)
        for answer in explanation.dimensions:
            if answer.name in problem.weight:
                total = sum(pulls.pulls[label][answer.name] for label in pulls.at.get(answer.name, ()))
                distance = 2 * problem.weight[answer.name] * (answer.nearest - problem.wish[answer.name])
                assert abs(total - distance) < Fraction(1, 10**12), (name, answer.name)


def idle(grade: Grade) -> frozenset[str]:
    """Relations that are just met without holding anything: others at the same place hold already."""
    return frozenset(
        relation.id
        for relation in grade.problem.relations
        if not relation.is_equation
        and relation.id not in grade.solution.multipliers
        and relation.form.stated(grade.solution.nearest) == 0
    )


def test_without_its_reasons_a_dimension_comes_nearer_to_its_wish(demos: list[tuple[str, Explanation]]) -> None:
    held = [
        (explanation.grade, answer) for _, explanation in demos for answer in explanation.dimensions if answer.is_held
    ]
    assert held
    for grade, answer in held[:12]:
        assert answer.because, answer.says
        freed = solve(grade.problem, withhold=frozenset(ids(answer)) | idle(grade)).nearest[answer.name]
        assert answer.wished is not None
        assert abs(freed - answer.wished) < abs(answer.nearest - answer.wished), answer.says


def test_no_solvers_word_reaches_a_maker(demos: list[tuple[str, Explanation]]) -> None:
    for _, explanation in demos:
        for answer in explanation.dimensions:
            assert not SOLVERS_WORDS.search(answer.says), answer.says
