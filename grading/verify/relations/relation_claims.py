"""Claims at the printed dimensions: relations, ease, allowances, and how far the ruler moved each dimension."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from grading.verify.document.pattern import Pattern
from grading.verify.exact.enclosures import magnitude
from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import Point
from grading.verify.exact.relations import Relation
from grading.verify.verdict import Claim

# How far the ruler may move a dimension from its nearest size, in steps; part of the format.
STEPS_FREE, STEPS_FIXED, STEPS_STOCK = 8, 1, 0


@dataclass(frozen=True)
class Printed:
    """The pattern at its printed dimensions."""

    pattern: Pattern
    point: Point

    def text(self, form: Form) -> str:
        """Return the value of a form as the ruler prints it."""
        if form.is_rational:
            return self.pattern.ruler.printed(self.point.rational(form))
        return self.pattern.ruler.decimal(self.point.near(form))

    def relation_claim(self, relation: Relation) -> Claim:
        """Return whether a relation holds: exactly, or within its slack."""
        slack, ruler = relation.slack, self.pattern.ruler
        if relation.left.is_rational and relation.right.is_rational:
            first, second = self.point.rational(relation.left), self.point.rational(relation.right)
            low = high = first - second
            left, right = ruler.printed(first), ruler.printed(second)
        else:
            # The difference is enclosed as one form, in which pi and equal roots of both sides may cancel.
            low, high = self.point.enclosure(relation.form)
            left, right = self.text(relation.left), self.text(relation.right)
        holds = low >= -slack and (not relation.is_equation or high <= slack)
        says = relation.says
        if not holds:
            must = "must be" if relation.is_equation else "must be at least"
            within = f" within {ruler.printed(slack)}" if slack else ""
            says = f"{says}: {left} {must} {right}{within}"
        return Claim(relation.kind, relation.name, left, right, holds, says)

    def ease_claims(self) -> Iterator[Claim]:
        """Yield that each ease put on the ruler is near enough to what was written."""
        for seam in self.pattern.seams.values():
            if seam.ease is None or seam.written_ease is None:
                continue
            off = magnitude(self.point.enclosure(seam.ease - seam.written_ease))
            holds = off <= seam.tolerance
            left, right = self.text(seam.ease), self.text(seam.written_ease)
            says = f"seam {seam.name}: an ease of {right} is sewn as {left} on this ruler"
            if not holds:
                tolerance = self.pattern.ruler.printed(seam.tolerance)
                says = f"{says}, more than {tolerance} off: a finer ruler is needed"
            yield Claim("ease", f"ease:{seam.name}", left, right, holds, says)

    def allowance_claims(self) -> Iterator[Claim]:
        """Yield that edges joined in a plain seam have equal allowances."""
        for seam in self.pattern.seams.values():
            found = [
                (entry.title, entry.use.piece.treatments[entry.name].allowance)
                for entry in (*seam.join, *seam.to)
                if entry.use.piece is not None and not entry.is_line
            ]
            if seam.kind != "plain" or len(found) < 2:
                continue
            title, form = found[0]
            other = next((item for item in found if not self.is_equal(item[1], form)), found[-1])
            left, right = self.text(form), self.text(other[1])
            says = f"seam {seam.name}: the allowances of {title} and {other[0]} are {left} and {right}"
            yield Claim("allowance", f"allowance:{seam.name}", left, right, self.is_equal(other[1], form), says)

    def is_equal(self, first: Form, second: Form) -> bool:
        """Whether two lengths are the same, as far as enclosures can tell."""
        low, high = self.point.enclosure(first - second)
        return low <= 0 <= high

    def displacement_claims(self, nearest_size: Mapping[str, Fraction]) -> Iterator[Claim]:
        """Yield that the ruler moved no dimension further from the nearest size than it may."""
        ruler = self.pattern.ruler
        for title, dimension in self.pattern.head.dimensions.lengths.items():
            steps = STEPS_FREE
            if dimension.sizing == "stock":
                steps = STEPS_STOCK
            elif dimension.sizing == "fixed" or title in {*self.pattern.request.asked, *self.pattern.request.kept}:
                steps = STEPS_FIXED
            value, nearest = self.point.rational_of(title), nearest_size.get(title)
            holds = nearest is not None and abs(value - nearest) <= steps * ruler.step
            left = ruler.printed(value)
            right = "missing" if nearest is None else ruler.decimal(nearest)
            says = f"{title} is {left}, {'' if holds else 'not '}within {steps} steps of the nearest size, {right}"
            yield Claim("displacement", f"displacement:{title}", left, right, holds, says)
