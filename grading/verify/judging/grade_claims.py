"""Claims about the whole printed grade: each part compared with what is expected of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from grading.verify.document.pattern import Pattern
from grading.verify.document.rooms import MOST_ROOM, printed_volume, room_inside
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import point_of
from grading.verify.printing.expected import Expected
from grading.verify.printing.printed import (
    altered_claims,
    compared,
    cut_list_claims,
    nearest_print_claim,
    printed_claim,
    shown,
)
from grading.verify.relations.nearest import FINEST_SCALE, Certificate, read_order
from grading.verify.verdict import Claim

# Parts of a grade that are not compared key by key but in ways of their own.
APART = frozenset({"size", "dimensions", "certificate", "altered", "cut_list"})


def volume_claims(pattern: Pattern, certificate: Certificate) -> Iterator[Claim]:
    """Yield that the bag of the nearest size has the room that was asked for, and hardly more."""
    asked = pattern.request.volume
    if asked is None or pattern.inside is None:
        return
    values = {title: certificate.nearest.get(title, Fraction(0)) for title in pattern.head.dimensions.lengths}
    room = room_inside(pattern.inside, point_of(values))
    left, right = printed_volume(room), printed_volume(asked)
    says = f"the bag holds {left} where {right} is asked, before the ruler"
    yield Claim("volume", "volume:inside", left, right, asked <= room <= asked * MOST_ROOM, says)


@dataclass(frozen=True)
class GradeClaims:
    """Compares a grade with the expected one; `certified` is what its certificate says."""

    expected: Expected
    grade: Mapping[str, Any]
    chosen: Mapping[str, Fraction]
    certified: Certificate
    wished: Mapping[str, Fraction]

    @property
    def pattern(self) -> Pattern:
        """The pattern drawn for the request."""
        return self.expected.pattern

    def all(self) -> list[Claim]:
        """Return the claims of every part."""
        claims: list[Claim] = []
        given = {key: item for key, item in self.grade.items() if key not in APART}
        compared(self.parts(), given, "", claims)
        claims += self.dimensions()
        claims += self.certificate()
        claims += altered_claims(self.expected, self.grade.get("altered"))
        claims += cut_list_claims(self.expected, self.grade.get("cut_list"))
        return claims

    def parts(self) -> dict[str, Any]:
        """Return the parts that are compared key by key."""
        pattern, expected = self.pattern, self.expected
        parts: dict[str, Any] = {
            "format": 1,
            "kind": "grade",
            "pattern": pattern.head.name,
            "unit": pattern.head.unit_name,
            "ruler": pattern.ruler.printed(pattern.ruler.step),
            "state": pattern.head.state,
            "stock": expected.stock(self.chosen),
            "pieces": expected.pieces(),
            "seams": {title: expected.seam(seam) for title, seam in pattern.seams.items()},
            "coverings": expected.coverings(),
            "findings": [expected.finding(finding) for finding in pattern.findings.values()],
            "steps": expected.steps(),
        }
        if pattern.head.options:
            parts["options"] = pattern.head.options
        if pattern.inside is not None:
            parts["volume"] = printed_volume(room_inside(pattern.inside, expected.point))
        return parts

    def dimensions(self) -> list[Claim]:
        """Return the claims about the table of dimensions."""
        claims: list[Claim] = []
        printed, asked = self.pattern.ruler.printed, self.pattern.request.asked
        given = self.grade["dimensions"]
        known: dict[str, Any] = {}
        rest = dict(given)
        for title in self.pattern.head.dimensions.lengths:
            known[title] = {
                "asked": printed(asked[title]) if title in asked else None,
                "value": printed(self.expected.point.rational_of(title)),
            }
            rest[title] = {key: item for key, item in given[title].items() if key != "nearest"}
            nearest = self.certified.nearest.get(title)
            claims.append(nearest_print_claim(title, given[title].get("nearest"), nearest, self.expected))
        for title, count in self.pattern.head.dimensions.counts.items():
            known[title] = {"asked": None, "nearest": str(count), "value": str(count)}
        compared(known, rest, "dimensions", claims)
        return claims

    def certificate(self) -> list[Claim]:
        """Return the claims about the wish, and that the certificate speaks of nothing else."""
        given = self.grade.get("certificate")
        if not isinstance(given, dict):
            return [printed_claim("certificate", given, "an object of 3 fields", False)]
        claims: list[Claim] = []
        lengths = self.pattern.head.dimensions.lengths
        wished = {title: str(value) for title, value in self.wished.items()}
        compared(wished, given.get("wish"), "certificate.wish", claims)
        known = {"wish", "nearest", "multipliers"}
        if self.pattern.request.volume is not None:
            known.add("scale")
            holds = self.certified.scale is not None
            right = f"a multiple of 1/{FINEST_SCALE} above 0"
            claims.append(printed_claim("certificate.scale", given.get("scale"), right, holds))
        if self.pattern.request.within is not None and self.pattern.request.within.any_way:
            known.add("order")
            holds = read_order(given) is not None
            claims.append(printed_claim("certificate.order", given.get("order"), "an order of 0, 1 and 2", holds))
        nearest = given.get("nearest")
        extra = {f"certificate.{shown(key)}": given[key] for key in set(given) - known}
        if isinstance(nearest, dict):
            extra |= {f"certificate.nearest.{shown(key)}": item for key, item in nearest.items() if key not in lengths}
        claims += [printed_claim(path, item, "nothing", False) for path, item in extra.items()]
        return claims
