"""Forms: sums of rational multiples of 1, dimensions, pi, pi times dimensions, roots of areas, and curve lengths.

The rational multiples have one common denominator, so that sums and values are whole-number arithmetic. Keys of the
terms: `""` stands for 1 (a millimetre), a name for a dimension, `"π"` before either for pi times it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from grading.verify.exact.fraction import Fraction

PI_MARK = "π"
AreaKey = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Root:
    """The square root of an area with whole coefficients (of products of two term keys), in millimetres."""

    terms: tuple[tuple[AreaKey, int], ...]

    @property
    def names(self) -> set[str]:
        """The names that stand in the area, those with pi marked."""
        return {name for pair, _ in self.terms for name in pair}


# An area in lowest terms: what is below the line, and the products with their whole coefficients in order.
Square = tuple[int, tuple[tuple[AreaKey, int], ...]]


@dataclass(frozen=True, slots=True)
class CurveLength:
    """The length of a curve in millimetres: its kind, and the areas that decide it, in their one order."""

    kind: str
    areas: tuple[Square, ...]

    @property
    def names(self) -> set[str]:
        """The names that stand in the areas."""
        return {name for _, terms in self.areas for pair, _ in terms for name in pair}


Irrational = Root | CurveLength
Key = str | Irrational
ARC, ELLIPSE, CUBIC = "arc", "ellipse", "cubic"
# Where each of the six products of a cubic's steps stands when the curve is run the other way.
_RUN_BACK = (5, 4, 2, 3, 1, 0)


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """A length as a sum: each term's coefficient is its whole number over `below`. No term is 0."""

    below: int
    terms: Mapping[Key, int]

    def __add__(self, other: Form) -> Form:
        return _combined(self, other, 1)

    def __sub__(self, other: Form) -> Form:
        return _combined(self, other, -1)

    def __neg__(self) -> Form:
        return Form(self.below, {key: -value for key, value in self.terms.items()})

    def times(self, factor: Fraction) -> Form:
        """Return the form multiplied by a rational."""
        top, below = factor.numerator, factor.denominator
        if top == 0:
            return ZERO
        if top % below == 0 and top == 1:
            return self
        return Form(self.below * below, {key: value * top for key, value in self.terms.items()})

    def times_pi(self) -> Form | None:
        """Return the form multiplied by pi, or None where pi or a root stands in it already."""
        if any(not isinstance(key, str) or key.startswith(PI_MARK) for key in self.terms):
            return None
        return Form(self.below, {f"{PI_MARK}{key}": value for key, value in self.terms.items()})

    @property
    def is_zero(self) -> bool:
        """Whether the form is 0 whatever the dimensions are."""
        return not self.terms

    @property
    def is_rational(self) -> bool:
        """Whether neither pi, nor a root, nor the length of a curve stands in the form."""
        return all(isinstance(key, str) and not key.startswith(PI_MARK) for key in self.terms)

    @property
    def has_root(self) -> bool:
        """Whether a square root or the length of a curve stands in the form."""
        return any(not isinstance(key, str) for key in self.terms)

    @property
    def is_constant(self) -> bool:
        """Whether no dimension stands in the form."""
        return all(key in {"", PI_MARK} if isinstance(key, str) else key.names <= {"", PI_MARK} for key in self.terms)

    @property
    def identity(self) -> tuple[frozenset[tuple[Key, Fraction]], ...]:
        """What equal forms have in common: a value that can be compared and hashed."""
        return (frozenset((key, Fraction(value, self.below)) for key, value in self.terms.items()),)


ZERO = Form(1, {})


def constant(value: Fraction) -> Form:
    """Return the form of a length in mm that depends on no dimension."""
    return Form(value.denominator, {"": value.numerator}) if value else ZERO


def dimension(name: str) -> Form:
    """Return the form of a dimension itself."""
    return Form(1, {name: 1})


def _combined(first: Form, second: Form, sign: int) -> Form:
    if not second.terms:
        return first
    below = first.below
    if below == second.below:
        terms = dict(first.terms)
        factor = sign
    else:
        below = math.lcm(below, second.below)
        scale = below // first.below
        terms = {key: value * scale for key, value in first.terms.items()}
        factor = sign * (below // second.below)
    for key, value in second.terms.items():
        total = terms.get(key, 0) + factor * value
        if total:
            terms[key] = total
        else:
            del terms[key]
    return Form(below, terms)


def total(forms: list[Form]) -> Form:
    """Return the sum of the forms."""
    result = ZERO
    for form in forms:
        result = result + form
    return result


@dataclass(frozen=True, slots=True, eq=False)
class Area:
    """A sum of products of two terms, in square millimetres; pi may mark one term of a product."""

    below: int
    terms: Mapping[AreaKey, int]

    def plus(self, other: Area, sign: int) -> Area:
        """Return the sum, or with sign -1 the difference."""
        below = math.lcm(self.below, other.below)
        terms = {key: value * (below // self.below) for key, value in self.terms.items()}
        for key, value in other.terms.items():
            terms[key] = terms.get(key, 0) + sign * value * (below // other.below)
        return Area(below, {key: value for key, value in terms.items() if value})

    def times(self, factor: Fraction) -> Area:
        """Return the area multiplied by a rational."""
        terms = {key: value * factor.numerator for key, value in self.terms.items() if factor}
        return Area(self.below * factor.denominator, terms)

    def times_pi(self) -> Area | None:
        """Return the area multiplied by pi, or None where pi stands in it already."""
        if any(b.startswith(PI_MARK) for _, b in self.terms):
            return None
        return Area(self.below, {_area_key(a, PI_MARK + b): value for (a, b), value in self.terms.items()})

    def root(self) -> Form:
        """Return the form of the square root; equal areas up to a rational square give the same root."""
        if not self.terms:
            return ZERO
        whole = {key: value * self.below for key, value in self.terms.items()}
        square = _square_part(math.gcd(*whole.values()))
        terms = tuple(sorted((key, value // (square * square)) for key, value in whole.items()))
        return Form(self.below, {Root(terms): square})

    @property
    def square(self) -> Square:
        """The area in lowest terms, as the length of a curve keeps it."""
        divisor = math.gcd(self.below, *self.terms.values())
        return self.below // divisor, tuple(sorted((key, value // divisor) for key, value in self.terms.items()))


def curve_length(kind: str, areas: Sequence[Area]) -> Form:
    """Return the form of a curve's length; equal whichever way the curve is turned, mirrored or run."""
    squares = tuple(area.square for area in areas)
    if kind == ELLIPSE:
        squares = tuple(sorted(squares))
    elif kind == CUBIC:
        squares = min(squares, tuple(squares[place] for place in _RUN_BACK))
    return Form(1, {CurveLength(kind, squares): 1})


def area_of(square: Square) -> Area:
    """Return the area that the length of a curve keeps."""
    return Area(square[0], dict(square[1]))


def _area_key(first: str, second: str) -> AreaKey:
    # Pi, of which there is at most one, is kept on the second term; the names are in order.
    plain = sorted((first.removeprefix(PI_MARK), second.removeprefix(PI_MARK)))
    has_pi = first.startswith(PI_MARK) or second.startswith(PI_MARK)
    return plain[0], PI_MARK + plain[1] if has_pi else plain[1]


def product(first: Form, second: Form) -> Area | None:
    """Return the area first × second, or None where two values with pi, or a root, would be multiplied."""
    terms: dict[AreaKey, int] = {}
    for key, value in first.terms.items():
        for other, factor in second.terms.items():
            if not isinstance(key, str) or not isinstance(other, str):
                return None
            if key.startswith(PI_MARK) and other.startswith(PI_MARK):
                return None
            place = _area_key(key, other)
            terms[place] = terms.get(place, 0) + value * factor
    return Area(first.below * second.below, {key: value for key, value in terms.items() if value})


def diagonal(across: Form, along: Form) -> Form:
    """Return sqrt(across² + along²) of two rational forms."""
    return dotted((across, along), (across, along)).root()


def dotted(first: tuple[Form, Form], second: tuple[Form, Form]) -> Area:
    """Return the inner product of two steps of rational forms."""
    across, along = product(first[0], second[0]), product(first[1], second[1])
    if across is None or along is None:
        msg = "coordinates have neither pi nor roots"
        raise AssertionError(msg)
    return across.plus(along, 1)


def replaced(form: Form, lengths: Mapping[str, Fraction]) -> tuple[Form, Fraction]:
    """Return the form with lengths in mm in place of the given names, and apart from it the sum of the plain ones."""
    rest, plain = ZERO, Fraction(0)
    for key, value in form.terms.items():
        share = Fraction(value, form.below)
        if isinstance(key, Root):
            rest = rest + _root_replaced(key, lengths).times(share)
        elif isinstance(key, CurveLength):
            msg = "no expression has the length of a curve"
            raise AssertionError(msg)
        elif key in lengths:
            plain += share * lengths[key]
        elif key.removeprefix(PI_MARK) in lengths:
            size = share * lengths[key.removeprefix(PI_MARK)]
            rest = rest + (constant(size).times_pi() or ZERO)
        else:
            rest = rest + Form(form.below, {key: value})
    return rest, plain


def _root_replaced(root: Root, lengths: Mapping[str, Fraction]) -> Form:
    area = Area(1, {})
    for names, value in root.terms:
        sides, turned = [], False
        for name in names:
            plain = name.removeprefix(PI_MARK)
            turned = turned or name.startswith(PI_MARK)
            known = lengths.get(plain) if plain else Fraction(1)
            sides.append(dimension(plain) if known is None else constant(known))
        part = product(sides[0], sides[1])
        part = part.times_pi() if turned and part is not None else part
        if part is None:
            msg = "plain lengths have a product, and pi stands in it once at most"
            raise AssertionError(msg)
        area = area.plus(part.times(Fraction(value)), 1)
    return area.root()


def _square_part(number: int) -> int:
    """Return a whole number whose square divides the given one: all of it for factors below a thousand."""
    result = 1
    for prime in range(2, 1000):
        if prime * prime > number:
            break
        while number % (prime * prime) == 0:
            number //= prime * prime
            result *= prime
        while number % prime == 0:
            number //= prime
    rest = math.isqrt(number)
    return result * rest if rest * rest == number else result
