"""Expressions: plain arithmetic over dimensions, parsed with a grammar of our own on `ast`, never evaluated as code.

Every value is a number, a length or an area; see section 2 of the reference.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from grading.exact import MOST_DIGITS, UNITS, Ruler, enclose_root, looks_like_length, read_length
from grading.form import CONSTANT, Area, Form, add_areas, dimension, length, product, root

MOST_CHARACTERS = 500
MOST_NODES = 200
MOST_NESTING = 30
GREATEST_EXPONENT = 3
RESERVED = frozenset({"pi", "sqrt", "bag"})
"""Names that no dimension can have."""

THICKNESS = "thickness_"
"""What the name of a material's thickness begins with; no dimension's name does."""

MOST_POWERS = 30
MOST_BITS = 1000
"""Of the numbers that an expression comes to on the way; a tower of powers would have no end."""

BELOW_ZERO = ("a root is taken of an area below zero", "subtract the smaller from the greater")

_PLAIN_CHARACTERS = re.compile(r"[A-Za-z0-9_+\-*/(). ]*")
_WORD = re.compile(r"(?<![A-Za-z0-9_])[A-Za-z_][A-Za-z0-9_]*")
_NUMBER = re.compile(r"(?<![A-Za-z0-9_.])[0-9.][A-Za-z0-9_.]*")
_DOTTED = re.compile(r"(?<![A-Za-z0-9_.])[A-Za-z_][A-Za-z0-9_]*\.")
_PLAIN_NUMBER = re.compile(rf"\d{{1,{MOST_DIGITS}}}(?:\.\d{{1,{MOST_DIGITS}}})?")
_SIGNS_IN_A_ROW = re.compile(rf"(?:\s*[+\-]){{{MOST_NESTING + 1},}}")
_MARK = "_"
"""Names are marked before the text is parsed, so that `in` or `from` may name a dimension."""


class ExpressionFault(ValueError):
    """What is wrong with an expression, and what would be right."""

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem} ({remedy})")


@dataclass(frozen=True)
class Number:
    """A number plain + pi × pi_part, exact."""

    plain: Fraction
    pi_part: Fraction = Fraction(0)


Quantity = Number | Form | Area


@dataclass(frozen=True)
class Scope:
    """What names mean in an expression, and where its constants go.

    With a ruler, each rational constant is put on it the moment it becomes a length, and `report` is told of
    those that change (from, to in mm). `thicknesses` are those of materials by their names here, in mm; their plain
    sum is put on the ruler once all else is read, unless `keeps_thickness`.
    """

    unit: str
    dimensions: frozenset[str]
    counts: Mapping[str, int] = field(default_factory=dict)
    ruler: Ruler | None = None
    report: Callable[[Fraction, Fraction], None] | None = None
    thicknesses: Mapping[str, Fraction] = field(default_factory=dict)
    keeps_thickness: bool = False

    def constant(self, value: Fraction) -> Form:
        """A constant length in mm, put on the ruler if there is one."""
        if self.ruler is None:
            return length(value)
        put = self.ruler.put(value)
        if put != value and self.report is not None:
            self.report(value, put)
        return length(put)

    def length_of(self, number: Number) -> Form:
        """A number that becomes a length in the document's unit."""
        unit = UNITS[self.unit]
        if not number.pi_part:
            return self.constant(number.plain * unit)
        return Form(length(number.plain * unit).plain, {CONSTANT: number.pi_part * unit})

    def settled(self, form: Form) -> Form:
        """A form of which each thickness has become the length that it is."""
        if self.thicknesses.keys().isdisjoint(form.names):
            return form
        others = {key: value for key, value in form.plain.items() if key not in self.thicknesses}
        together = sum(
            (value * self.thicknesses[key] for key, value in form.plain.items() if key in self.thicknesses), Fraction(0)
        )
        exact = {name: length(thickness) for name, thickness in self.thicknesses.items()}
        try:
            rest = Form(others, form.pi, form.roots).substituted(exact)
        except ValueError:
            raise ExpressionFault(*BELOW_ZERO) from None
        return rest + (length(together) if self.keeps_thickness else self.constant(together))


@lru_cache(maxsize=8192)
def parse(text: str) -> ast.expr:
    """The tree of an expression, checked against the grammar and the limits. Raises ExpressionFault."""
    if len(text) > MOST_CHARACTERS:
        raise ExpressionFault(
            f"it has {len(text)} characters, and at most {MOST_CHARACTERS} are read",
            "name a part of it as a dimension of its own",
        )
    _check_characters(text)
    try:
        tree = ast.parse(_WORD.sub(lambda word: _MARK + word[0], text.strip()), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise ExpressionFault(f"{text!r} is no arithmetic", "write it as in '2*(width + depth) - 8*corner'") from None
    if sum(isinstance(node, ast.expr) for node in ast.walk(tree)) > MOST_NODES:
        raise ExpressionFault("it has too many parts", f"use at most {MOST_NODES} names, numbers and signs")
    _check_node(tree)
    return tree


def _check_characters(text: str) -> None:
    if not text.strip():
        raise ExpressionFault("it is empty", "write a length or an expression")
    if not _PLAIN_CHARACTERS.fullmatch(text):
        strange = next(character for character in text if not _PLAIN_CHARACTERS.fullmatch(character))
        raise ExpressionFault(
            f"it has the character {strange!r}", "use names, numbers, + - * / ** and parentheses only"
        )
    for number in _NUMBER.findall(text):
        _check_number(number)
    if dotted := _DOTTED.search(text):
        raise ExpressionFault(
            f"{dotted[0][:60]!r} has a point right behind a name", "names have letters, digits and _ only"
        )
    if text.count("**") > MOST_POWERS or _SIGNS_IN_A_ROW.search(text):
        raise ExpressionFault("it has too many powers, or signs in a row", f"use at most {MOST_POWERS} of them")
    depth = deepest = 0
    for character in text:
        depth += (character == "(") - (character == ")")
        deepest = max(deepest, depth)
    if deepest > MOST_NESTING:
        raise ExpressionFault(f"its parentheses go {deepest} deep", f"go at most {MOST_NESTING} deep")


def _check_number(text: str) -> None:
    if re.search(r"[A-Za-z_]", text):
        raise ExpressionFault(
            f"{text[:60]!r} has letters right behind a number",
            "a length with its unit stands alone, as '12 mm'; in arithmetic a bare number is in the document's unit",
        )
    if len(text.replace(".", "").lstrip("0")) > MOST_DIGITS:
        raise ExpressionFault("a number in it is too long", f"use at most {MOST_DIGITS} digits")
    if not _PLAIN_NUMBER.fullmatch(text):
        raise ExpressionFault(f"{text[:60]!r} is no number", "write it as in 12 or 0.5")


_SIGNS = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow)


def _check_node(tree: ast.expr) -> None:
    pending: list[ast.expr] = [tree]
    while pending:
        node = pending.pop()
        match node:
            case ast.BinOp(left=left, op=op, right=right) if isinstance(op, _SIGNS):
                pending += [left, right]
                if isinstance(op, ast.Pow):
                    _exponent(right)
            case ast.UnaryOp(op=ast.USub() | ast.UAdd(), operand=operand):
                pending.append(operand)
            case ast.Constant(value=value) if isinstance(value, int | float) and not isinstance(value, bool):
                pass
            case ast.Name():
                pass
            case ast.Call(func=ast.Name(id="_sqrt"), args=[argument], keywords=[]):
                pending.append(argument)
            case ast.Call(func=ast.Name(id=name)):
                raise ExpressionFault(f"{_unmarked(name)}(...) is not known here", "only sqrt(...) of one value is")
            case _:
                raise ExpressionFault(
                    f"{_shown(node)!r} is no arithmetic", "use + - * / **, parentheses and sqrt of one value"
                )


def _unmarked(name: str) -> str:
    return name.removeprefix(_MARK)


def _shown(node: ast.expr) -> str:
    return _WORD.sub(lambda word: _unmarked(word[0]), ast.unparse(node))[:60]


def _exponent(node: ast.expr) -> int:
    if isinstance(node, ast.Constant) and isinstance(node.value, int) and 0 <= node.value <= GREATEST_EXPONENT:
        return node.value
    raise ExpressionFault(
        f"the exponent {_shown(node)} is not read", f"use a whole exponent from 0 to {GREATEST_EXPONENT}"
    )


def names_in(value: str | float) -> frozenset[str]:
    """The dimensions that an expression names; none for a length. Raises ExpressionFault."""
    if isinstance(value, str) and not looks_like_length(value):
        return frozenset(
            _unmarked(node.id)
            for node in ast.walk(parse(value))
            if isinstance(node, ast.Name) and _unmarked(node.id) not in RESERVED
        )
    return frozenset()


def has_thickness(value: str | float) -> bool:
    """Whether an expression names the thickness of a material. Raises ExpressionFault."""
    return any(name.startswith(THICKNESS) for name in names_in(value))


def length_value(value: str | float, scope: Scope) -> Form:
    """The length that a document's value stands for: a length text, a number, or an expression.

    Raises ExpressionFault if it is none, or comes to an area.
    """
    if isinstance(value, str) and not looks_like_length(value):
        quantity = evaluate(value, scope)
        if isinstance(quantity, Number):
            return scope.length_of(quantity)
        if isinstance(quantity, Area):
            raise ExpressionFault("it comes to an area", "a length is wanted: divide by a number, or take sqrt(...)")
        return scope.settled(quantity)
    return scope.constant(read_length(value, scope.unit))


def evaluate(text: str, scope: Scope) -> Quantity:
    """The exact value of an expression: a number, a length (Form) or an area. Raises ExpressionFault."""
    return _value(parse(text), scope)


def _value(node: ast.expr, scope: Scope) -> Quantity:
    match node:
        case ast.Constant(value=value):
            return Number(Fraction(repr(value)))
        case ast.Name(id=name):
            return _named(_unmarked(name), scope)
        case ast.UnaryOp(op=op, operand=operand):
            inner = _value(operand, scope)
            return _times(Number(Fraction(-1)), inner) if isinstance(op, ast.USub) else inner
        case ast.Call(args=[argument]):
            return _root(_value(argument, scope))
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return _power(_value(left, scope), _exponent(right))
        case ast.BinOp(left=left, op=op, right=right):
            return _combined(_value(left, scope), op, _value(right, scope), scope)
    msg = f"unchecked node {node!r}"
    raise AssertionError(msg)


def _named(name: str, scope: Scope) -> Quantity:
    if name == "pi":
        return Number(Fraction(0), Fraction(1))
    if name in scope.counts:
        return Number(Fraction(scope.counts[name]))
    if name in scope.dimensions or name in scope.thicknesses:
        return dimension(name)
    known = ", ".join(sorted({*scope.dimensions, *scope.counts})[:12])
    raise ExpressionFault(f"no dimension is named {name!r}", f"the document names {known or 'none'}")


def _combined(left: Quantity, op: ast.operator, right: Quantity, scope: Scope) -> Quantity:
    if isinstance(op, ast.Mult):
        return _times(left, right)
    if isinstance(op, ast.Div):
        return _over(left, right)
    if isinstance(op, ast.Add):
        return _sum(left, right, scope)
    # A number that is taken from a length becomes a length as it is written, before its sign is turned.
    if isinstance(left, Form) and isinstance(right, Number):
        right = scope.length_of(right)
    return _sum(left, _times(Number(Fraction(-1)), right), scope)


def _sum(left: Quantity, right: Quantity, scope: Scope) -> Quantity:
    if isinstance(left, Number) and isinstance(right, Number):
        return _bounded(Number(left.plain + right.plain, left.pi_part + right.pi_part))
    if isinstance(left, Number) and isinstance(right, Form):
        return scope.length_of(left) + right
    if isinstance(left, Form) and isinstance(right, Number):
        return left + scope.length_of(right)
    if isinstance(left, Form) and isinstance(right, Form):
        return left + right
    if isinstance(left, Area) and isinstance(right, Area):
        return add_areas(left, right)
    raise ExpressionFault("an area is added to something else", "add lengths to lengths, areas to areas")


def _times(left: Quantity, right: Quantity) -> Quantity:
    if isinstance(right, Number) and not isinstance(left, Number):
        left, right = right, left
    if isinstance(left, Number):
        return _multiple(left, right)
    if isinstance(left, Form) and isinstance(right, Form):
        if left.is_rational and right.is_rational:
            return product(left, right)
        raise ExpressionFault("lengths with pi or a root are multiplied", "multiply plain lengths only")
    raise ExpressionFault("an area is multiplied by a length", "no volumes are known here")


def _multiple(factor: Number, value: Quantity) -> Quantity:
    no_pi_twice = ExpressionFault("pi is multiplied by pi or by a root", "use pi once in a product, with plain lengths")
    match value:
        case Number(plain, pi_part):
            if factor.pi_part and pi_part:
                raise no_pi_twice
            return _bounded(Number(factor.plain * plain, factor.plain * pi_part + factor.pi_part * plain))
        case Area() as area:
            if factor.pi_part:
                raise no_pi_twice
            return add_areas(Area(()), area, factor.plain)
        case Form() as form:
            result = form.times(factor.plain)
            if factor.pi_part:
                if not form.is_rational:
                    raise no_pi_twice
                result += form.times(factor.pi_part).times_pi()
            return result


def _bounded(number: Number) -> Number:
    """The number, if it has no more digits than any length or factor can need."""
    for part in (number.plain, number.pi_part):
        if max(part.numerator.bit_length(), part.denominator.bit_length()) > MOST_BITS:
            raise ExpressionFault("a number that it comes to has too many digits", "use smaller numbers")
    return number


def _over(left: Quantity, right: Quantity) -> Quantity:
    if not isinstance(right, Number) or right.pi_part:
        raise ExpressionFault("something is divided by a length, an area or pi", "divide by a plain number")
    if not right.plain:
        raise ExpressionFault("something is divided by zero", "divide by another number")
    return _times(Number(1 / right.plain), left)


def _power(base: Quantity, exponent: int) -> Quantity:
    result: Quantity = Number(Fraction(1))
    for _ in range(exponent):
        result = _times(result, base)
    return result


def _root(value: Quantity) -> Quantity:
    if isinstance(value, Area):
        if all(key == (CONSTANT, CONSTANT) and square < 0 for key, square in value.terms) and value.terms:
            raise ExpressionFault(*BELOW_ZERO)
        return root(value)
    if isinstance(value, Number) and not value.pi_part and value.plain >= 0:
        side = enclose_root(value.plain)
        if side.low == side.high:
            return Number(side.low)
        raise ExpressionFault(
            f"sqrt({value.plain}) is not rational", "take the root of an area instead, as in sqrt(2*width**2)"
        )
    raise ExpressionFault("sqrt(...) of this is no length", "take the root of an area, as in sqrt(a**2 + b**2)")
