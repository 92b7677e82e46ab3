"""The nearest size: that the certificate shows the one point that comes closest to what was wished.

For a sum of weighted squares over linear relations the conditions of Karush, Kuhn and Tucker are necessary and
sufficient: the relations hold, and the slope of the sum is a sum of multiples of the relations' slopes, not below 0
for inequalities and 0 where one is not tight.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from grading.verify.document.dimensions import Dimension
from grading.verify.exact.curve_lengths import slopes_of
from grading.verify.exact.enclosures import PI40, PI40_SCALE, PI40_TOP
from grading.verify.exact.forms import PI_MARK, AreaKey, Irrational, Root
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import Ruler
from grading.verify.exact.points import Point, common_denominator, point_of
from grading.verify.exact.relations import Relation
from grading.verify.unreadable import UnreadableInput
from grading.verify.verdict import Claim

# Where roots bind, values and slopes are known to 40 digits only, of curves to 20; part of the format.
ROOT_BOUND = Fraction(1, 10**9)
# The scale that gives a volume is found in steps of one ten-thousandth; part of the format.
FINEST_SCALE, LARGEST_SCALE = 10_000, 1_000_000
_CHUNK = 4000


@dataclass(frozen=True)
class Certificate:
    """What a grade says about its nearest size; `scale` is that of a volume, None where it is none."""

    nearest: Mapping[str, Fraction]
    multipliers: Mapping[str, Fraction]
    faults: tuple[str, ...]
    scale: Fraction | None = None


def rational_or_none(value: object) -> Fraction | None:
    """Return the rational of a text such as `-7/3`, or of a whole JSON number; None for anything else."""
    if isinstance(value, int) and not isinstance(value, bool):
        return Fraction(value)
    if not isinstance(value, str) or len(value) > 40 * _CHUNK or not value.isascii():
        return None
    top, slash, below = value.partition("/")
    sign = -1 if top.startswith("-") else 1
    parts = [_whole(top.removeprefix("-")), _whole(below) if slash else 1]
    if parts[0] is None or not parts[1]:
        return None
    return Fraction(sign * parts[0], parts[1])


def _whole(digits: str) -> int | None:
    if not digits.isdigit():
        return None
    value = 0
    for start in range(0, len(digits), _CHUNK):
        piece = digits[start : start + _CHUNK]
        value = value * 10 ** len(piece) + int(piece)
    return value


def read_certificate(value: object, lengths: Mapping[str, Dimension], relations: Sequence[Relation]) -> Certificate:
    """Return the certificate of a grade with what is wrong about its form, in words."""
    faults: list[str] = []
    given = value if isinstance(value, dict) else {}
    nearest = _rationals(given.get("nearest"), "nearest", faults)
    multipliers = _rationals(given.get("multipliers"), "multipliers", faults)
    faults += [f"nearest size of {title} is missing" for title in lengths if title not in nearest]
    known = {relation.name for relation in relations}
    faults += [f"{title} is no relation of this pattern" for title in multipliers if title not in known]
    return Certificate(nearest, multipliers, tuple(faults), _scale_or_none(given.get("scale")))


def _scale_or_none(value: object) -> Fraction | None:
    scale = rational_or_none(value)
    if scale is None or (scale * FINEST_SCALE).denominator > 1 or not 0 < scale <= LARGEST_SCALE:
        return None
    return scale


def _rationals(value: object, what: str, faults: list[str]) -> dict[str, Fraction]:
    if not isinstance(value, dict):
        faults.append(f"certificate.{what} is missing")
        return {}
    found = {}
    for title, entry in value.items():
        number = rational_or_none(entry)
        if number is None:
            faults.append(f"certificate.{what}.{title} is no rational number")
        else:
            found[str(title)] = number
    return found


def read_order(value: object) -> tuple[int, ...] | None:
    """Return which side of a box lies across, along and deep, as a certificate says it; None where it does not."""
    order = value.get("order") if isinstance(value, dict) else None
    if not isinstance(order, list) or not all(type(side) is int for side in order) or sorted(order) != [0, 1, 2]:
        return None
    return tuple(order)


def nearest_claims(
    certificate: Certificate,
    relations: Sequence[Relation],
    lengths: Mapping[str, Dimension],
    wished: Mapping[str, Fraction],
    ruler: Ruler,
) -> Iterator[Claim]:
    """Yield the four claims of a certificate: its form, the relations, the multipliers, and the balance."""
    fault = certificate.faults[0] if certificate.faults else ""
    yield _claim("form", fault, "the certificate names every dimension, and only relations of this pattern")
    values = {title: certificate.nearest.get(title, dimension.base) for title, dimension in lengths.items()}
    if any(common_denominator(numbers.values()) is None for numbers in (values, certificate.multipliers)):
        yield _claim("relations", "the numbers of the certificate are too long to judge", "")
        return
    point = point_of(values)
    yield from _judged(certificate.multipliers, relations, lengths, wished, values, point, ruler)


def _claim(about: str, fault: str, says: str) -> Claim:
    return Claim("nearest", f"nearest:{about}", fault or "as it must be", "0", not fault, fault or says)


def _judged(
    multipliers: Mapping[str, Fraction],
    relations: Sequence[Relation],
    lengths: Mapping[str, Dimension],
    wished: Mapping[str, Fraction],
    values: Mapping[str, Fraction],
    point: Point,
    ruler: Ruler,
) -> Iterator[Claim]:
    loose = any(
        relation.form.has_root and (relation.is_equation or multipliers.get(relation.name)) for relation in relations
    )
    bound = ROOT_BOUND if loose else Fraction(0)
    broken, signs = "", ""
    for relation in relations:
        try:
            sign = _sign(point, relation, bound)
        except UnreadableInput as error:
            broken = broken or f"{relation.name}: {error.message}"
            continue
        if sign < 0 or (sign > 0 and relation.is_equation):
            off = ruler.decimal(point.with_pi40(relation.form))
            broken = broken or f"{relation.name} is {off} off at the nearest size ({relation.says})"
        multiplier = multipliers.get(relation.name, 0)
        if not relation.is_equation and multiplier:
            if multiplier < -bound:
                signs = signs or f"{relation.name} has a multiplier below 0"
            elif sign > 0 and multiplier > bound:
                signs = signs or f"{relation.name} has a multiplier and is not tight"
    yield _claim("relations", broken, "every relation holds at the nearest size")
    yield _claim("signs", signs, "only what is tight pulls, and only the way it may")
    yield _claim("balance", _imbalance(multipliers, relations, lengths, wished, values, point, bound), _BALANCED)


_BALANCED = "no size that keeps the relations comes closer to what was wished"


def _sign(point: Point, relation: Relation, bound: Fraction) -> int:
    """Return the sign of left - right with PI40; 0 within the bound."""
    form = relation.form
    if form.has_root or bound:
        value = point.with_pi40(form)
        return 0 if abs(value) <= bound else (1 if value > 0 else -1)
    plain = turns = 0
    for key, factor in form.terms.items():
        if isinstance(key, str):
            if key[:1] == PI_MARK:
                turns += factor * point.values[key[1:]]
            else:
                plain += factor * point.values[key]
    value_top = plain * PI40_SCALE + turns * PI40_TOP if turns else plain
    return (value_top > 0) - (value_top < 0)


def _imbalance(
    multipliers: Mapping[str, Fraction],
    relations: Sequence[Relation],
    lengths: Mapping[str, Dimension],
    wished: Mapping[str, Fraction],
    values: Mapping[str, Fraction],
    point: Point,
    bound: Fraction,
) -> str:
    """Return what is out of balance, or an empty text: 2 × weight × (x - wish) against the multipliers' pull."""
    pulling = [(relation, multipliers[relation.name]) for relation in relations if multipliers.get(relation.name)]
    scale = math.lcm(1, *(number.denominator for _, number in pulling))
    below = math.lcm(1, *(relation.form.below for relation, _ in pulling))
    pulls = dict.fromkeys(lengths, 0)
    rest: dict[str, Fraction] = {}
    for relation, number in pulling:
        factor = number.numerator * (scale // number.denominator) * (below // relation.form.below)
        for key, coefficient in relation.form.terms.items():
            if not isinstance(key, str):
                slopes = _slopes(key, point)
                if slopes is None:
                    return f"{relation.name} has a root, or a curve, without a slope"
                for title, slope in slopes.items():
                    pull = number * coefficient * slope / relation.form.below
                    rest[title] = rest.get(title, Fraction(0)) + pull
            elif key[:1] == PI_MARK:
                if key != PI_MARK:
                    pulls[key[1:]] += factor * coefficient * PI40_TOP
            elif key:
                pulls[key] += factor * coefficient * PI40_SCALE
    whole = scale * below * PI40_SCALE
    for title, dimension in lengths.items():
        slope = Fraction(0)
        if dimension.sizing == "proportion":
            slope = 2 * (values[title] - wished[title]) / dimension.base**2
        if title in rest or bound:
            off = slope - Fraction(pulls[title], whole) - rest.get(title, 0)
            balanced = abs(off) <= bound
        else:
            balanced = slope.numerator * whole == pulls[title] * slope.denominator
        if not balanced:
            return f"{title} could come closer to what was wished, or is further off than the relations make it"
    return ""


def _slopes(key: Irrational, point: Point) -> dict[str, Fraction] | None:
    """Return how fast a root, or a curve's length, grows with each dimension, to 20 digits; None without a slope."""
    slopes: dict[str, Fraction] = {}
    if isinstance(key, Root):
        value = point.root_with_pi40(key)
        if value <= 0:
            return None
        _add_slopes(slopes, key.terms, 1 / (2 * value), point)
        return slopes
    by_area = slopes_of(key.kind, point.squares(key))
    if by_area is None:
        return None
    for (below, terms), slope in zip(key.areas, by_area, strict=True):
        _add_slopes(slopes, terms, slope / below, point)
    return slopes


def _add_slopes(
    slopes: dict[str, Fraction], terms: Sequence[tuple[AreaKey, int]], share: Fraction, point: Point
) -> None:
    """Add share times the slope of an area with each dimension."""
    for (first, second), factor in terms:
        pi = PI40 if second[:1] == PI_MARK else Fraction(1)
        second_name = second.removeprefix(PI_MARK)
        for title, other in ((first, second_name), (second_name, first)):
            if title:
                slope = factor * pi * Fraction(point.values[other], point.scale) * share
                slopes[title] = slopes.get(title, Fraction(0)) + slope
