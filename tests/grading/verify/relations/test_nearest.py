"""The certificate of the nearest size, on small problems solved by hand with Lagrange's multipliers."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

import pytest

from grading.verify.document.dimensions import Dimension
from grading.verify.exact.enclosures import PI40
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO
from grading.verify.exact.lengths import Ruler
from grading.verify.exact.relations import EQUAL, NOT_BELOW, Relation
from grading.verify.relations.nearest import nearest_claims, rational_or_none, read_certificate

LENGTHS = {
    name: Dimension(name, Fraction(100), Fraction(0), None, sizing, None)
    for name, sizing in (("a", "proportion"), ("b", "proportion"), ("c", "decided"))
}
WISHED = {"a": Fraction(110), "b": Fraction(110)}
EXPRESSIONS = Expressions(Fraction(1), Fraction(1), frozenset(LENGTHS), {})


def relation(name: str, text: str, sense: str = EQUAL) -> Relation:
    return Relation(name, EXPRESSIONS.plain(text, name), ZERO, sense, Fraction(0), name)


def failing(relations: list[Relation], nearest: dict[str, str], multipliers: dict[str, str]) -> list[str]:
    certificate = read_certificate({"nearest": nearest, "multipliers": multipliers}, LENGTHS, relations)
    claims = nearest_claims(certificate, relations, LENGTHS, WISHED, Ruler(Fraction(1), in_inches=False))
    return [claim.about.removeprefix("nearest:") for claim in claims if not claim.holds]


SUM = relation("rule:sum", "a + b - 210")
DECIDES = relation("seam:c", "c - a - pi*b")


def test_a_sum_that_is_held_is_shared_evenly() -> None:
    # 2 (105 - 110) / 100² = -1/1000 for both, times the slope 1 of the sum.
    c = str(105 + 105 * PI40)
    good = {"a": "105", "b": "105", "c": c}
    assert failing([SUM, DECIDES], good, {"rule:sum": "-1/1000"}) == []
    assert failing([SUM, DECIDES], good, {"rule:sum": "-1/1001"}) == ["balance"]
    assert failing([SUM, DECIDES], good, {}) == ["balance"]
    uneven = {"a": "106", "b": "104", "c": str(106 + 104 * PI40)}
    assert failing([SUM, DECIDES], uneven, {"rule:sum": "-1/1000"}) == ["balance"]
    assert failing([SUM, DECIDES], {**good, "c": str(105 + 105 * Fraction(22, 7))}, {"rule:sum": "-1/1000"}) == [
        "relations"
    ]


def test_a_decided_length_must_not_be_pulled() -> None:
    good = {"a": "110", "b": "110", "c": str(110 + 110 * PI40)}
    assert failing([DECIDES], good, {}) == []
    assert failing([DECIDES], good, {"seam:c": "1/1000"}) == ["balance"]


def test_an_inequality_may_only_push_and_only_when_it_is_tight() -> None:
    most = relation("limits:a:most", "107 - a", NOT_BELOW)
    held = {"a": "107", "b": "110", "c": "0"}
    assert failing([most], held, {"limits:a:most": "6/10000"}) == []
    assert failing([most], held, {"limits:a:most": "-6/10000"}) == ["signs", "balance"]
    assert failing([most], {"a": "110", "b": "110", "c": "0"}, {}) == ["relations"]
    loose = relation("limits:a:most", "120 - a", NOT_BELOW)
    assert failing([loose], held, {"limits:a:most": "6/10000"}) == ["signs"]


def test_a_root_is_judged_to_a_thousand_millionth() -> None:
    # a = b on a circle of 150: 150/sqrt 2 each; 2 (x - 110)/100² = m x/150.
    circle = relation("seam:circle", "sqrt(a*a + b*b) - 150")
    scale = 10**45
    side = Fraction(150 * isqrt(scale * scale // 2), scale)
    pull = 2 * (side - 110) / 10000 * 150 / side
    at = {"a": str(side), "b": str(side), "c": "0"}
    assert failing([circle], at, {"seam:circle": str(pull)}) == []
    assert failing([circle], at, {"seam:circle": str(pull + Fraction(1, 10**6))}) == ["balance"]
    off = str(side + Fraction(1, 10**6))
    assert failing([circle], {**at, "a": off}, {"seam:circle": str(pull)}) == ["relations"]


@pytest.mark.parametrize(
    ("certificate", "fault"),
    [
        (None, "missing"),
        ({"nearest": {"a": "1", "b": "1"}, "multipliers": {}}, "nearest size of c is missing"),
        ({"nearest": {"a": "1", "b": "1", "c": "x"}, "multipliers": {}}, "nearest.c is no rational number"),
        ({"nearest": {"a": "1", "b": "1", "c": "1"}, "multipliers": {"rule:none": "1"}}, "rule:none is no relation"),
    ],
)
def test_a_certificate_that_cannot_be_read_says_why(certificate: object, fault: str) -> None:
    assert any(fault in item for item in read_certificate(certificate, LENGTHS, [SUM]).faults)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7", 7),
        ("-7/3", Fraction(-7, 3)),
        (4, 4),
        ("9" * 9000, 10**9000 - 1),
        *((text, None) for text in ("1/0", "", "1.5", "²", True, "-", "1/", "1/-2", None)),
    ],
    ids=range(13),
)
def test_rationals_are_read_exactly(text: object, value: Fraction | None) -> None:
    assert rational_or_none(text) == value
