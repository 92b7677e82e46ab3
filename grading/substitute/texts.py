"""Forms written as expressions of a document, in its unit; what is read from them is the form again, exactly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from grading.document.expressions import parse
from grading.exact import UNITS, looks_like_length, print_length, print_number
from grading.form import CONSTANT, Area, Form
from grading.substitute.apart import constant_named

MOST_REPEATED = 6
"""How often a constant is written over again; more often, it is multiplied."""

Term = tuple[Fraction, str]
"""A factor, and the text that it multiplies."""


@dataclass(frozen=True)
class Writer:
    """Writes forms in a unit; `anchor` is any dimension of the document.

    A number is put on the ruler when it is added to a length. So that each constant of a sum is put on it alone, a sum
    begins with a length, be it 0 times the anchor.
    """

    unit: str
    anchor: str

    def text(self, form: Form) -> str:
        """The expression of a form. Raises ExpressionFault where it is too long, ValueError for a curve's length."""
        if not form.pi and not form.roots and len(form.plain) < 2:
            alone = self._alone(form.plain)
            if alone is not None:
                return alone
        divisor = self._divisor(form)
        text = self._sum(form.times(divisor))
        if divisor != 1:
            text = f"({text})/{divisor}"
        if not looks_like_length(text):
            parse(text)
        return text

    def _alone(self, plain: Mapping[str, Fraction]) -> str | None:
        """The text of nothing, or of one constant; None for what has to be a sum."""
        if not plain:
            return "0"
        ((name, factor),) = plain.items()
        value = self._constant(name)
        if value is None or (abs(factor) != 1 and name != CONSTANT):
            return None
        size = value * factor
        if self.unit in {"in", "ft", "yd"}:
            return print_length(size, in_inches=True)
        return f"{print_number(size / UNITS[self.unit])} {self.unit}"

    def _divisor(self, form: Form) -> int:
        """What the whole is to be divided by, so that each constant stands in it a whole number of times."""
        below = [factor.denominator for name, factor in form.plain.items() if constant_named(name) is not None]
        return lcm(*below)

    def _sum(self, form: Form) -> str:
        lengths = [(factor, name) for name, factor in form.plain.items() if self._constant(name) is None]
        lengths += [(factor, f"pi*{self._factor(name)}") for name, factor in form.pi.items() if name != CONSTANT]
        for area, factor in form.roots.items():
            if not isinstance(area, Area):
                msg = "no expression has the length of a curve"
                raise ValueError(msg)
            lengths.append((factor, f"sqrt({self._area(area)})"))
        lengths.sort(key=lambda term: term[0] < 0)
        constants = sorted(self._constants(form), key=lambda term: term[0] < 0)
        if not lengths and len(constants) > 1:
            lengths = [(Fraction(0), self.anchor)]
        return _joined([*lengths, *constants])

    def _constants(self, form: Form) -> Iterator[Term]:
        """Each constant; one with pi beside it is put on no ruler, and stands in one number with it."""
        turns = form.pi.get(CONSTANT)
        for name, times in form.plain.items():
            value = self._constant(name)
            if value is None or (turns is not None and name == CONSTANT):
                continue
            factor = times
            if name == CONSTANT:
                value, factor = abs(times), Fraction(1 if times > 0 else -1)
            if factor.denominator == 1 and abs(factor) <= MOST_REPEATED:
                sign = Fraction(1 if factor > 0 else -1)
                yield from [(sign, self._number(value))] * abs(factor.numerator)
            else:
                yield factor, f"(0*{self.anchor} + {self._number(value)})"
        if turns is not None:
            beside = form.plain.get(CONSTANT, Fraction(0))
            text = _joined([(turns / UNITS[self.unit], "pi")])
            yield Fraction(1), f"({self._signed(beside)} + {text})" if beside else f"({text})"

    def _area(self, area: Area) -> str:
        return _joined((factor, f"{self._factor(left)}*{self._factor(right)}") for (left, right), factor in area.terms)

    def _factor(self, name: str) -> str:
        """A dimension, or a constant as a length, to multiply with; without a name it is 1 mm."""
        value = self._constant(name)
        return name if value is None else f"(0*{self.anchor} + {self._number(value)})"

    def _constant(self, name: str) -> Fraction | None:
        return Fraction(1) if name == CONSTANT else constant_named(name)

    def _number(self, value: Fraction) -> str:
        return print_number(value / UNITS[self.unit])

    def _signed(self, value: Fraction) -> str:
        return self._number(value) if value >= 0 else f"-{self._number(-value)}"


def _joined(terms: Iterable[Term]) -> str:
    """A sum of terms; each factor is a quotient of whole numbers."""
    text = ""
    for factor, what in terms:
        sign = ("-" if factor < 0 else "") if not text else (" - " if factor < 0 else " + ")
        text += sign + _product(abs(factor), what)
    return text


def _product(factor: Fraction, what: str) -> str:
    above, below = factor.numerator, factor.denominator
    text = what if above == 1 else f"{above}*{what}"
    return text if below == 1 else f"{text}/{below}"
