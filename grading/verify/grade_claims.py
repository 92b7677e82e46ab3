"""Claims about the whole printed grade: each part compared with what is expected of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.verify.expected import Expected
from grading.verify.pattern import Pattern
from grading.verify.printed import altered_claims, compared, cut_list_claims, nearest_print_claim, printed_claim, shown
from grading.verify.requests import wishes
from grading.verify.verdict import Claim

# Parts of a grade that are not compared key by key but in ways of their own.
APART = frozenset({"size", "dimensions", "certificate", "altered", "cut_list"})


@dataclass(frozen=True)
class GradeClaims:
    """Compares a grade with the expected one; `nearest` is the certificate's nearest size."""

    expected: Expected
    grade: Mapping[str, Any]
    chosen: Mapping[str, Fraction]
    nearest: Mapping[str, Fraction]

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
        return {
            "format": 1,
            "kind": "grade",
            "pattern": pattern.head.name,
            "unit": pattern.head.unit_name,
            "ruler": pattern.ruler.printed(pattern.ruler.step),
            "stock": expected.stock(self.chosen),
            "pieces": expected.pieces(),
            "seams": {title: expected.seam(seam) for title, seam in pattern.seams.items()},
            "coverings": expected.coverings(),
            "findings": [expected.finding(finding) for finding in pattern.findings.values()],
            "steps": expected.steps(),
        }

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
            nearest = self.nearest.get(title)
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
        wished = {title: str(value) for title, value in wishes(self.pattern.request, lengths).items()}
        compared(wished, given.get("wish"), "certificate.wish", claims)
        nearest = given.get("nearest")
        extra = {f"certificate.{shown(key)}": given[key] for key in set(given) - {"wish", "nearest", "multipliers"}}
        if isinstance(nearest, dict):
            extra |= {f"certificate.nearest.{shown(key)}": item for key, item in nearest.items() if key not in lengths}
        claims += [printed_claim(path, item, "nothing", False) for path, item in extra.items()]
        return claims
