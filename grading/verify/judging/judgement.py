"""The judgement of a grade: its claims, derived from the pattern, and whether each holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from grading.verify.document.options import chosen_options
from grading.verify.document.pattern import Pattern, read_head, read_pattern
from grading.verify.document.requests import wishes
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, length_or_none
from grading.verify.exact.points import Point
from grading.verify.judging.grade_claims import GradeClaims, volume_claims
from grading.verify.making.chains import chain_claims
from grading.verify.making.closures import closed_claims
from grading.verify.making.fates import fate_claims
from grading.verify.making.orders import order_claims
from grading.verify.printing.expected import expected_at
from grading.verify.printing.graded import printed_point
from grading.verify.printing.printed import shown
from grading.verify.printing.sizes import size_claims
from grading.verify.relations.measures import ruler_claims
from grading.verify.relations.nearest import nearest_claims, read_certificate, read_order
from grading.verify.relations.relation_claims import Printed
from grading.verify.relations.relation_list import all_relations
from grading.verify.unreadable import refuse
from grading.verify.verdict import Claim, Verdict, verdict_of

# The sides of a box as they are given: across, along, deep.
STRAIGHT = (0, 1, 2)


def judge(pattern: dict[str, Any], grade: dict[str, Any]) -> Verdict:
    """Return the verdict on a grade: every claim that the pattern makes of it, judged in exact numbers.

    Both are plain data as read from JSON. Raises `UnreadableInput` when one is no pattern or no grade at all.
    """
    if not isinstance(grade, dict) or grade.get("kind") != "grade":
        refuse("is not a grade", "grade")
    size = grade.get("size")
    if not isinstance(size, dict):
        refuse("does not say which size it is: a name and a request", "grade.size")
    head = read_head(pattern, chosen_options(pattern, size.get("request"), "grade.size.request"))
    lengths = head.dimensions.lengths
    request = head.request(size.get("request"), "grade.size.request")
    drawn = read_pattern(head, request)
    point = printed_point(drawn, grade)
    chosen, stock_claims = _chosen(drawn, grade, point)
    order = read_order(grade.get("certificate")) or STRAIGHT
    relations = all_relations(drawn, chosen, order)
    expected = expected_at(drawn, point)
    certificate = read_certificate(grade.get("certificate"), lengths, relations)
    wished = wishes(request, lengths, certificate.scale)
    printed = Printed(drawn, point)
    return verdict_of(
        [
            *(printed.relation_claim(relation) for relation in relations),
            *stock_claims,
            *closed_claims(drawn, expected.shapes),
            *chain_claims(drawn),
            *fate_claims(drawn, point),
            *order_claims(drawn),
            *printed.allowance_claims(),
            *ruler_claims(drawn, point),
            *printed.ease_claims(),
            *printed.displacement_claims(certificate.nearest),
            *nearest_claims(certificate, relations, lengths, wished, drawn.ruler),
            *volume_claims(drawn, certificate),
            *size_claims(head, request, size),
            *GradeClaims(expected, grade, chosen, certificate, wished).all(),
        ]
    )


def _chosen(pattern: Pattern, grade: Mapping[str, Any], point: Point) -> tuple[dict[str, Fraction], list[Claim]]:
    """Return the stock value of each dimension from stock, with a claim that it is in stock."""
    chosen: dict[str, Fraction] = {}
    claims = []
    given = grade.get("stock")
    printed = pattern.ruler.printed
    for title, dimension in pattern.head.dimensions.lengths.items():
        if dimension.stock is None:
            continue
        values = pattern.stock[dimension.stock]
        value = pattern.request.asked.get(title)
        if value is None:
            entry = given.get(title) if isinstance(given, dict) else None
            value = length_or_none(entry, PRINTED_DIGITS)
            text = ", ".join(printed(item) for item in values[:20])
            says = f"{title} is bought as {shown(entry)}; in stock are {text}"
            claims.append(Claim("stock", f"stock:{title}:listed", shown(entry), text, value in values, says))
        if value is None or value not in values:
            here = point.rational_of(title)
            value = min(values, key=lambda item: abs(item - here))
        chosen[title] = value
    return chosen, claims
