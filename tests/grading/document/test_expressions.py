"""Expressions: what the grammar takes, what it comes to (sympy is the judge), and what it refuses."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.document.expressions import (
    MOST_CHARACTERS,
    ExpressionFault,
    Number,
    Scope,
    evaluate,
    length_value,
    names_in,
    parse,
)
from grading.exact import Ruler
from grading.form import Area, Form

VALUES = {"width": Fraction(360), "height": Fraction(801, 2), "corner": Fraction(125, 3)}
SCOPE = Scope("mm", frozenset(VALUES), {"pleats": 3})
SYMBOLS = {name: sympy.Symbol(name, positive=True) for name in VALUES}


def value_of(text: str, scope: Scope = SCOPE) -> Fraction:
    """The value in mm of an expression without pi or roots."""
    enclosure = length_value(text, scope).enclosure(VALUES)
    assert enclosure.low == enclosure.high
    return enclosure.low


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("width", "360"),
        ("2*(width + height) - 8*corner", "1521 - 1000/3"),
        ("-width + 400", "40"),
        ("+(width)", "360"),
        ("width - -1", "361"),
        ("(width - 15)/2", "345/2"),
        ("width*0.125", "45"),
        ("2**3", "8"),
        ("width**1", "360"),
        ("width*2**0", "360"),
        ("sqrt(2.25)*width", "540"),
        ("sqrt(4*width*width)/2", "360"),
        ("30", "30"),
        ("1/2*3", "1.5"),
        ("pleats*width/3", "360"),
        ("12 mm", "12"),
        ("-3/8 in", "-9.525"),
        ("0.000000000000001*width", "360/1000000000000000"),
    ],
)
def test_plain_arithmetic_comes_to_what_it_says(text: str, millimetres: str) -> None:
    wanted = sum((Fraction(part) for part in millimetres.replace(" - ", " + -").split(" + ")), Fraction(0))
    assert value_of(text) == wanted


def test_a_bare_number_beside_a_length_is_in_the_unit_of_the_document() -> None:
    inches = Scope("in", frozenset(VALUES))
    assert value_of("width + 2", inches) == 360 + Fraction("50.8")
    assert value_of("2*width", inches) == 720
    assert value_of("12 mm", inches) == 12


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("3 + 4*pi", Number),
        ("pleats + 1", Number),
        ("3*width", Form),
        ("width + 3", Form),
        ("width*height", Area),
        ("width**2 + height*corner", Area),
        ("sqrt(width**2 + height**2)", Form),
        ("sqrt(16)", Number),
        ("width**0", Number),
        ("pi*corner/2", Form),
    ],
)
def test_every_value_is_a_number_a_length_or_an_area(text: str, kind: type) -> None:
    assert isinstance(evaluate(text, SCOPE), kind)


@pytest.mark.parametrize(
    "text",
    [
        "width + width*height",
        "width*height + 3",
        "width*height*corner",
        "width**3",
        "width/height",
        "3/width",
        "width/pi",
        "3/(pi - pi)",
        "width/0",
        "width/(2 - 2)",
        "pi*pi",
        "pi**2",
        "pi*(pi*width)",
        "width*(pi*width)",
        "pi*sqrt(width**2 + height**2)",
        "width*sqrt(width**2 + height**2)",
        "sqrt(2)",
        "sqrt(-4)",
        "sqrt(width)",
        "sqrt(pi)",
        "sqrt((width - width + 3)*(width - width - 3))",
        "pi*(width*width)",
    ],
)
def test_kinds_that_do_not_go_together_are_refused(text: str) -> None:
    with pytest.raises(ExpressionFault):
        length_value(text, SCOPE)


def test_an_area_is_no_length() -> None:
    with pytest.raises(ExpressionFault, match="area"):
        length_value("width*height", SCOPE)


HOSTILE = [
    "9**9**9",
    "9**(9)",
    "9**4",
    "9**-1",
    "9**0.5",
    "9**width",
    "(" * 31 + "width" + ")" * 31,
    "-" * 31 + "width",
    "(" * 400 + ")" * 400,
    "((((((((((9**3)**3)**3)**3)**3)**3)**3)**3)**3)**3)",
    "*".join(["99999999999999"] * 33),
    "1/".join(["99999999999999"] * 29) + "1",
    "width.__class__",
    "width.real",
    "().__class__.__bases__",
    "__import__('os').system('true')",
    "__import__",
    "open(width)",
    "eval(width)",
    "sqrt(width, width)",
    "sqrt()",
    "sqrt(*width)",
    "sqrt",
    "sqrt(sqrt)",
    "pi(width)",
    "(sqrt)(width*width)(2)",
    "lambda",
    "lambda x",
    "width if width else height",
    "not width",
    "width and height",
    "width or height",
    "width in height",
    "width is height",
    "await width",
    "yield",
    "None",
    "True",
    "True + 1",
    "[width]",
    "{width}",
    "width, height",
    "(width, height)",
    "()",
    "width[0]",
    "width := 3",
    "width == 3",
    "width % 2",
    "width // 2",
    "width @ height",
    "~width",
    "width ^ 2",
    "width | 2",
    "width << 2",
    "f'{width}'",
    "'width'",
    '"width"',
    "1e9",
    "1E9",
    ".5e3*width",
    "0x10",
    "0b1",
    "2j",
    "1_000",
    ".5*width",
    "5.*width",
    "007",
    "1.2.3",
    "2 width",
    "width height",
    "2(width)",
    "width\x00",
    "width\n+ height",
    "width;height",
    "width#",
    "wídth",
    "ｗidth",
    "１",
    "9" * 16,
    "0." + "1" * 16,
    "123456789.123456789",
    "width + " * 99 + "width +",
    "+".join(["width"] * 101),
    "+".join(["1"] * 251),
    " " * 501,
    "",
    "   ",
    "*",
    "(",
    "width*",
    "width**",
    "bag",
    "Width",
    "_width",
    "unknown",
    "*".join(["width**1"] * 31),
]


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: repr(text[:30]))
def test_a_hostile_expression_is_refused(text: str) -> None:
    with pytest.raises(ExpressionFault) as refused:
        length_value(text, SCOPE)
    assert refused.value.problem
    assert refused.value.remedy


def test_a_long_expression_is_refused_by_its_length_alone() -> None:
    with pytest.raises(ExpressionFault, match=str(MOST_CHARACTERS)):
        parse("(" * 10_000_000)


def test_an_unknown_dimension_is_named_with_those_that_are_known() -> None:
    with pytest.raises(ExpressionFault, match="'widht'") as refused:
        length_value("widht + 3", SCOPE)
    assert "width" in refused.value.remedy


@pytest.mark.parametrize("name", ["in", "is", "from", "lambda", "class", "not", "w10e", "a1234567890123456789", "e9"])
def test_a_dimension_may_be_named_as_any_small_word(name: str) -> None:
    scope = Scope("mm", frozenset({name}))
    assert names_in(f"2*{name} + 3") == {name}
    assert length_value(f"2*{name} + 3", scope).enclosure({name: Fraction(5)}).low == 13


def test_the_dimensions_of_an_expression_are_listed() -> None:
    assert names_in("2*(width + pi*corner) - sqrt(width**2)") == {"width", "corner"}
    assert names_in("12 mm") == frozenset()
    assert names_in(12) == frozenset()


@dataclass
class Drawn:
    """A scope with a ruler that keeps what it changed."""

    step: str
    changes: list[tuple[Fraction, Fraction]] = field(default_factory=list)

    def scope(self) -> Scope:
        ruler = Ruler(Fraction(self.step), False)
        return Scope(
            "mm", frozenset(VALUES), ruler=ruler, report=lambda before, after: self.changes.append((before, after))
        )


@pytest.mark.parametrize(
    ("text", "millimetres", "changes"),
    [
        ("(width - 14)/2", "345/2", [(14, 15)]),
        ("12 mm", "10", [(12, 10)]),
        ("13", "15", [(13, 15)]),
        ("width + 10", "370", []),
        ("width + 2*7", "375", [(14, 15)]),
        ("2*(width + 7)", "730", [(7, 5)]),
        ("1.5*width", "540", []),
        ("width + 1", "365", [(1, 5)]),
        ("width - 1", "355", [(1, 5)]),
        ("1 - width", "-355", [(1, 5)]),
        ("width + 0", "360", []),
    ],
)
def test_constants_are_put_on_the_ruler_as_they_become_lengths(
    text: str, millimetres: str, changes: list[tuple[int, int]]
) -> None:
    drawn = Drawn("5")
    assert value_of(text, drawn.scope()) == Fraction(millimetres)
    assert [(abs(before), abs(after)) for before, after in drawn.changes] == changes


def test_a_constant_with_pi_is_on_no_ruler() -> None:
    drawn = Drawn("5")
    form = length_value("7*pi + 7 + width", drawn.scope())
    assert not form.is_rational
    assert drawn.changes == []


def test_each_number_is_put_on_the_ruler_at_the_moment_it_becomes_a_length() -> None:
    drawn = Drawn("5")
    length_value("width + 7*pi + 7", drawn.scope())
    assert drawn.changes == [(7, 5)]


# Random expressions, each built twice by the same steps: as a text, and as an object of sympy.


@dataclass(frozen=True)
class Twin:
    """A text and what sympy makes of the same steps; `plain` says that neither pi nor a root is in it."""

    text: str
    judged: sympy.Expr
    plain: bool = True


def whole_numbers() -> st.SearchStrategy[Twin]:
    return st.integers(1, 999).map(lambda n: Twin(str(n), sympy.Integer(n)))


def decimals() -> st.SearchStrategy[Twin]:
    return st.tuples(st.integers(0, 99), st.integers(1, 999)).map(
        lambda pair: Twin(f"{pair[0]}.{pair[1]:03}", sympy.Integer(pair[0]) + sympy.Rational(pair[1], 1000))
    )


def numbers() -> st.SearchStrategy[Twin]:
    atoms = whole_numbers() | decimals()
    return atoms | st.tuples(atoms, atoms).flatmap(
        lambda pair: st.sampled_from(
            [
                Twin(f"({pair[0].text} + {pair[1].text})", pair[0].judged + pair[1].judged),
                Twin(f"({pair[0].text} - {pair[1].text}/7)", pair[0].judged - pair[1].judged / 7),
                Twin(f"({pair[0].text}*{pair[1].text})", pair[0].judged * pair[1].judged),
                Twin(f"{pair[0].text}**2", pair[0].judged ** 2),
                Twin(f"{pair[0].text}**3", pair[0].judged ** 3),
            ]
        )
    )


def dimensions() -> st.SearchStrategy[Twin]:
    return st.sampled_from(sorted(SYMBOLS)).map(lambda name: Twin(name, SYMBOLS[name]))


def _longer(smaller: st.SearchStrategy[Twin]) -> st.SearchStrategy[Twin]:
    def combine(parts: tuple[Twin, Twin, Twin]) -> st.SearchStrategy[Twin]:
        one, two, number = parts
        plain = one.plain and two.plain
        choices = [
            Twin(f"({one.text} + {two.text})", one.judged + two.judged, plain),
            Twin(f"({one.text} - {two.text})", one.judged - two.judged, plain),
            Twin(f"-{one.text}", -one.judged, one.plain),
            Twin(f"{number.text}*{one.text}", number.judged * one.judged, one.plain),
            Twin(f"{one.text}*{number.text}", number.judged * one.judged, one.plain),
            Twin(f"({one.text})/{int(number.judged) + 1}", one.judged / (int(number.judged) + 1), one.plain),
            Twin(f"({one.text} - {number.text})", one.judged - number.judged, one.plain),
            Twin(f"({number.text} + {one.text})", one.judged + number.judged, one.plain),
        ]
        if one.plain:
            choices.append(Twin(f"pi*{number.text}*({one.text})", sympy.pi * number.judged * one.judged, False))
        if plain:
            total = one.judged**2 + two.judged**2 + 1
            area = f"({one.text})**2 + ({two.text})*({two.text}) + (width - width + 1)**2"
            choices.append(Twin(f"sqrt({area})", sympy.sqrt(total), False))
        return st.sampled_from(choices)

    return st.tuples(smaller, smaller, numbers()).flatmap(combine)


lengths = st.recursive(dimensions(), _longer, max_leaves=6)


@settings(max_examples=150, deadline=None)
@given(lengths)
def test_sympy_comes_to_the_same_length(twin: Twin) -> None:
    if len(twin.text) > MOST_CHARACTERS:
        return
    try:
        form = length_value(twin.text, SCOPE)
    except ExpressionFault as refused:
        assert "many" in refused.problem or "deep" in refused.problem
        return
    dimensions_of_sympy = {SYMBOLS[name]: sympy.Rational(v.numerator, v.denominator) for name, v in VALUES.items()}
    judged = twin.judged.subs(dimensions_of_sympy)
    enclosure = form.enclosure(VALUES, 50)
    low, high = (sympy.Rational(end.numerator, end.denominator) for end in (enclosure.low, enclosure.high))
    if twin.plain:
        assert low == high == judged
        assert form.is_rational
    room = sympy.Rational(1, 10**40)
    assert (low - judged).evalf(60) < room
    assert (judged - high).evalf(60) < room


@pytest.mark.parametrize("text", ["sqrt(-(thickness_foam**2)) + width", "width - sqrt(-thickness_foam*thickness_foam)"])
def test_no_root_is_taken_of_a_thickness_below_zero(text: str) -> None:
    scope = Scope("mm", frozenset(VALUES), thicknesses={"thickness_foam": Fraction(3, 4)})
    with pytest.raises(ExpressionFault, match="below zero"):
        length_value(text, scope)


def test_a_point_right_behind_a_name_is_told_and_python_warns_of_nothing() -> None:
    with pytest.raises(ExpressionFault, match="right behind a name"):
        evaluate("width0.5in", SCOPE)
