"""Expressions: plain arithmetic read into forms. Nothing of a text is ever evaluated by the language itself."""

from __future__ import annotations

import ast
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from grading.verify.exact.forms import ZERO, Area, Form, constant, dimension, product, replaced
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import LARGEST_BITS, decimal_or_none, length_or_none, put_on
from grading.verify.unreadable import UnreadableInput, refuse

LONGEST = 500
MOST_NODES = 200
DEEPEST = 30

_TOKEN = re.compile(r"\s+|[a-z][a-z0-9_]*|\d{1,15}(?:\.\d{1,15})?(?![\w.])|\*\*|[-+*/()]", re.ASCII)
_WORD = re.compile(r"[a-z][a-z0-9_]*", re.ASCII)
# Names of this beginning are the thicknesses of materials.
THICKNESS = "thickness_"
# Names are marked before the text is read as Python, so that `in` or `is` may name a dimension.
_MARK = "v_"
NONE = Fraction(0)


@dataclass(frozen=True, slots=True)
class Number:
    """A number without unit: plain + turns × pi."""

    plain: Fraction
    turns: Fraction = NONE


Value = Number | Form | Area
Change = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Expressions:
    """Reads expressions over the given dimensions; `unit` in mm is that of bare numbers, `step` the ruler's.

    `thicknesses` are those of materials, by the names that expressions give them, in mm.
    """

    unit: Fraction
    step: Fraction
    dimensions: frozenset[str]
    counts: Mapping[str, int]
    thicknesses: Mapping[str, Fraction] = field(default_factory=dict)
    altered: dict[tuple[str, Fraction, Fraction], None] = field(default_factory=dict)
    _read: dict[tuple[str, bool, bool], tuple[Form, tuple[Change, ...]]] = field(default_factory=dict)

    def drawn(self, value: object, path: str, *, is_ease: bool = False) -> Form:
        """Return the form of a length whose constants are put on the ruler; each change is kept in `altered`.

        Thicknesses are put on it together, but not in the ease of a seam.
        """
        form, changes = self._length(value, path, drawn=True, is_ease=is_ease)
        for before, after in changes:
            self.altered[path, before, after] = None
        return form

    def plain(self, value: object, path: str) -> Form:
        """Return the form of a length as written."""
        return self._length(value, path, drawn=False)[0]

    def difference(self, left: str, right: str, path: str) -> Form:
        """Return left minus right of a rule: both lengths, or a length and a number, or both numbers."""
        reader = _Reader(self, drawn=False)
        first, second = reader.value(left, path), reader.value(right, path)
        return reader.with_thicknesses(reader.as_length(reader.sum(first, second, -1, path), path))

    @staticmethod
    def names_thickness(value: object) -> bool:
        """Whether an expression names the thickness of a material."""
        return isinstance(value, str) and any(word.startswith(THICKNESS) for word in _WORD.findall(value))

    def whole(self, value: object, path: str) -> int:
        """Return a whole number from 0 to 1000, from a number or an expression of counts."""
        number = self._number(value, path)
        if number is None or number.denominator != 1 or not 0 <= number <= 1000:
            refuse("is not a whole number from 0 to 1000", path)
        return number.numerator

    def number(self, value: object, path: str) -> Fraction:
        """Return a plain number, from a number or an expression of numbers and counts."""
        number = self._number(value, path)
        if number is None:
            refuse("is not a number", path)
        return number

    def _number(self, value: object, path: str) -> Fraction | None:
        if not isinstance(value, str):
            return decimal_or_none(value, path)
        found = _Reader(self, drawn=False).value(value, path)
        return found.plain if isinstance(found, Number) and not found.turns else None

    def _length(self, value: object, path: str, drawn: bool, is_ease: bool = False) -> tuple[Form, tuple[Change, ...]]:
        if isinstance(value, str):
            known = self._read.get((value, drawn, is_ease))
            if known is not None:
                return known
        reader = _Reader(self, drawn)
        form = reader.length(value, path)
        if self.names_thickness(value):
            form = reader.with_thicknesses(form, reader.on_ruler if not is_ease else None)
        result = form, tuple(reader.changes)
        if isinstance(value, str):
            self._read[value, drawn, is_ease] = result
        return result


class _Reader:
    """Reads one expression and notes the constants that the ruler changes."""

    def __init__(self, expressions: Expressions, drawn: bool) -> None:
        self.expressions = expressions
        self.drawn = drawn
        self.changes: list[Change] = []

    def length(self, value: object, path: str) -> Form:
        number = decimal_or_none(value, path)
        if number is not None:
            return self.as_length(Number(number), path)
        return self.as_length(self.value(value, path), path)

    def value(self, text: object, path: str) -> Value:
        if not isinstance(text, str):
            refuse("is neither an expression nor a length", path)
        if len(text) > LONGEST:
            refuse(f"is longer than {LONGEST} characters", path)
        length = length_or_none(text)
        if length is not None:
            return constant(self.on_ruler(length))
        return self.node(_parsed(text, path), path)

    def on_ruler(self, length: Fraction) -> Fraction:
        if not self.drawn:
            return length
        after = put_on(length, self.expressions.step)
        if after != length:
            self.changes.append((length, after))
        return after

    def with_thicknesses(self, form: Form, put: Callable[[Fraction], Fraction] | None = None) -> Form:
        """Return the form with lengths for the names of thicknesses; `put` changes the sum of the plain ones."""
        rest, plain = replaced(form, self.expressions.thicknesses)
        return rest + constant(plain if put is None else put(plain))

    def as_length(self, value: Value, path: str) -> Form:
        if isinstance(value, Form):
            return value
        if isinstance(value, Area):
            refuse("is an area where a length is needed", path)
        unit = self.expressions.unit
        if not value.turns:
            return constant(self.on_ruler(value.plain * unit))
        turned = constant(value.turns * unit).times_pi()
        return constant(value.plain * unit) + (turned or ZERO)

    def node(self, node: ast.expr, path: str) -> Value:
        if isinstance(node, ast.Constant):
            return Number(Fraction(str(node.value)))
        if isinstance(node, ast.Name):
            return self.name(node.id.removeprefix(_MARK), path)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, (ast.USub, ast.UAdd)):
            value = self.node(node.operand, path)
            return value if isinstance(node.op, ast.UAdd) else _times(value, Number(Fraction(-1)), path)
        if isinstance(node, ast.Call):
            return self.square_root(node, path)
        if not isinstance(node, ast.BinOp):
            refuse("holds more than plain arithmetic", path)
        left = self.node(node.left, path)
        if isinstance(node.op, ast.Pow):
            return _power(left, node.right, path)
        right = self.node(node.right, path)
        if isinstance(node.op, (ast.Add, ast.Sub)):
            return self.sum(left, right, 1 if isinstance(node.op, ast.Add) else -1, path)
        if isinstance(node.op, ast.Mult):
            return _times(left, right, path)
        if isinstance(node.op, ast.Div):
            return _over(left, right, path)
        raise UnreadableInput("holds more than plain arithmetic", path)

    def name(self, name: str, path: str) -> Value:
        if name in self.expressions.dimensions or name in self.expressions.thicknesses:
            return dimension(name)
        if name in self.expressions.counts:
            return Number(Fraction(self.expressions.counts[name]))
        if name == "pi":
            return Number(Fraction(0), Fraction(1))
        raise UnreadableInput(f"speaks of {name[:60]}, which is no dimension", path)

    def sum(self, left: Value, right: Value, sign: int, path: str) -> Value:
        if isinstance(left, Number) and isinstance(right, Number):
            return _bounded(Number(left.plain + sign * right.plain, left.turns + sign * right.turns), path)
        if isinstance(left, Area) or isinstance(right, Area):
            if not (isinstance(left, Area) and isinstance(right, Area)):
                refuse("adds an area to what is no area", path)
            return left.plus(right, sign)
        first, second = self.as_length(left, path), self.as_length(right, path)
        return first + second if sign > 0 else first - second

    def square_root(self, node: ast.Call, path: str) -> Value:
        function = node.func
        if not isinstance(function, ast.Name) or function.id != _MARK + "sqrt" or len(node.args) != 1 or node.keywords:
            refuse("calls something other than sqrt of one value", path)
        value = self.node(node.args[0], path)
        if isinstance(value, Area):
            return value.root()
        if isinstance(value, Number) and not value.turns and value.plain >= 0:
            top, below = math.isqrt(value.plain.numerator), math.isqrt(value.plain.denominator)
            if Fraction(top, below) ** 2 == value.plain:
                return Number(Fraction(top, below))
        raise UnreadableInput("takes a root that is neither of an area nor a rational number", path)


def _parsed(text: str, path: str) -> ast.expr:
    # What reaches the parser is short, shallow, and made of the few tokens that arithmetic needs.
    position, depth, deepest, signs = 0, 0, 0, 0
    while (found := _TOKEN.match(text, position)) is not None:
        part, position = found.group(), found.end()
        if part.isspace():
            continue
        depth += (part == "(") - (part == ")")
        signs = signs + 1 if part in {"+", "-", "**"} else 0
        deepest = max(deepest, depth, signs)
    if position != len(text) or deepest > DEEPEST or text.count("**") > DEEPEST:
        refuse("is not plain arithmetic of at most 30 nested parts", path)
    try:
        marked = _WORD.sub(lambda word: _MARK + word.group(), " ".join(text.split()))
        tree = ast.parse(marked, mode="eval").body
    except (SyntaxError, ValueError, MemoryError, RecursionError):
        raise UnreadableInput("is not plain arithmetic", path) from None
    if sum(isinstance(node, ast.expr) for node in ast.walk(tree)) > MOST_NODES:
        refuse(f"has more than {MOST_NODES} parts", path)
    return tree


def _bounded(number: Number, path: str) -> Number:
    for part in (number.plain, number.turns):
        if max(part.numerator.bit_length(), part.denominator.bit_length()) > LARGEST_BITS:
            refuse("comes to a number of far too many digits", path)
    return number


def _times(left: Value, right: Value, path: str) -> Value:
    if isinstance(left, Number) and isinstance(right, Number):
        if left.turns and right.turns:
            refuse("multiplies pi by pi", path)
        turns = left.plain * right.turns + left.turns * right.plain
        return _bounded(Number(left.plain * right.plain, turns), path)
    if isinstance(left, Number):
        return _multiple(right, left, path)
    if isinstance(right, Number):
        return _multiple(left, right, path)
    area = product(left, right) if isinstance(left, Form) and isinstance(right, Form) else None
    if area is None:
        refuse("multiplies what has pi twice, a root, or more than two lengths", path)
    return area


def _multiple(value: Value, number: Number, path: str) -> Value:
    if isinstance(value, Number):
        refuse("multiplies numbers as lengths", path)
    plain = value.times(number.plain)
    if not number.turns:
        return plain
    turned = value.times_pi()
    if turned is None:
        refuse("multiplies pi by pi, or by a root", path)
    if isinstance(plain, Form) and isinstance(turned, Form):
        return plain + turned.times(number.turns)
    if isinstance(plain, Area) and isinstance(turned, Area):
        return plain.plus(turned.times(number.turns), 1)
    raise UnreadableInput("is not plain arithmetic", path)


def _over(left: Value, right: Value, path: str) -> Value:
    if not isinstance(right, Number) or right.turns or right.plain == 0:
        refuse("divides by what is not a plain number other than 0", path)
    return _times(left, Number(1 / right.plain), path)


def _power(left: Value, exponent: ast.expr, path: str) -> Value:
    times = exponent.value if isinstance(exponent, ast.Constant) else None
    if not isinstance(times, int) or not 0 <= times <= 3:
        refuse("has an exponent that is not 0, 1, 2 or 3", path)
    result: Value = Number(Fraction(1))
    for _ in range(times):
        result = _times(result, left, path)
    return result
