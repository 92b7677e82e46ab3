"""Expressions: what they come to, what the ruler changes in them, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grading.verify.exact.expressions import Expressions
from grading.verify.exact.points import point_of
from grading.verify.unreadable import UnreadableInput

POINT = point_of({"width": Fraction(300), "depth": Fraction(41, 2), "is": Fraction(7)})


def reader(step: str = "1") -> Expressions:
    return Expressions(Fraction(1), Fraction(step), frozenset({"width", "depth", "is"}), {"pleats": 3})


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("width", 300),
        ("2*(width + depth) - 8", 633),
        ("(width - 15)/2", Fraction(285, 2)),
        ("-width + 400", 100),
        ("pleats*depth", Fraction(123, 2)),
        ("width/4*3", 225),
        ("sqrt(9/4)*width", 450),
        ("2**3*width", 2400),
        ("sqrt(width**2)", 300),
        ("sqrt(width*width + (width*4/3)**2)", 500),
        ("is + 1", 8),
        ("3 1/8 in", Fraction(79375, 1000)),
        (12.5, Fraction(25, 2)),
        ("width**0*5", 5),
    ],
)
def test_expressions_come_to_their_value(text: object, value: Fraction) -> None:
    assert POINT.near(reader().plain(text, "x")) == value


def test_pi_is_enclosed() -> None:
    low, high = POINT.enclosure(reader().plain("2*pi*width - pi", "x"))
    assert low < high and high - low < Fraction(1, 10**50)
    assert abs(float(low) - 599 * 3.141592653589793) < 1e-9


@pytest.mark.parametrize(
    "text",
    [
        "__import__('os').system('true')",
        "width.real",
        "width[0]",
        "lambda: 1",
        "[width for width in (1,)]",
        "width if width else 1",
        "1e5",
        "0x10",
        "1_000",
        "1j",
        "width // 2",
        "width % 2",
        "width ** width",
        "2 ** 4",
        "2 ** -1",
        "1 / 0",
        "1 / pi",
        "1 / width",
        "pi * pi",
        "(pi*width)*(pi*width)",
        "sqrt(2)",
        "sqrt(-4)",
        "sqrt(pi)",
        "sqrt(width)",
        "sqrt(width*width, 2)",
        "abs(width)",
        "sqrt(width**2)*width",
        "pi*sqrt(width**2)",
        "width*width",
        "width*width + width",
        "width*width*width",
        "height",
        "",
        "(",
        ")(",
        "width width",
        "1" * 16,
        "(((((((((9**3)**3)**3)**3)**3)**3)**3)**3)**3)*width",
        "(" * 31 + "width" + ")" * 31,
        "(" * 400,
        "-" * 40 + "width",
        "+".join(["width"] * 200),
        "width + " * 100 + "width",
        "wïdth",
        "width\x00",
        None,
        [],
        True,
        {"a": 1},
    ],
)
def test_anything_but_short_plain_arithmetic_is_refused(text: object) -> None:
    with pytest.raises(UnreadableInput):
        reader().plain(text, "x")


def test_constants_are_put_on_the_ruler_when_they_become_lengths() -> None:
    expressions = reader("5")
    assert POINT.near(expressions.drawn("(width - 13)/2", "a")) == Fraction(285, 2)
    assert POINT.near(expressions.drawn("width - 2*3", "b")) == 295
    assert POINT.near(expressions.drawn("width*3 - 1", "c")) == 895
    assert POINT.near(expressions.drawn(12, "d")) == 10
    assert POINT.near(expressions.drawn("1 in", "e")) == 25
    assert POINT.near(expressions.plain("width - 13", "f")) == 287
    assert list(expressions.altered) == [
        ("a", 13, 15),
        ("b", 6, 5),
        ("c", 1, 5),
        ("d", 12, 10),
        ("e", Fraction(127, 5), 25),
    ]


def test_equal_roots_are_one_term() -> None:
    expressions = reader()
    once = expressions.plain("sqrt((2*width)**2 + (2*depth)**2)", "x")
    twice = expressions.plain("2*sqrt(width**2 + depth**2)", "x")
    assert (once - twice).is_zero


def padded(step: str = "1") -> Expressions:
    thicknesses = {"thickness_foam": Fraction(16, 5), "thickness_main": Fraction(3, 5)}
    return Expressions(Fraction(1), Fraction(step), frozenset({"width"}), {"pleats": 3}, thicknesses)


@pytest.mark.parametrize(
    ("text", "value", "changes"),
    [
        ("width - 2*thickness_foam", 294, [("-32/5", "-6")]),
        ("width - pleats*thickness_foam + thickness_main", 291, []),
        ("width + 0.4 + thickness_main", 302, [("2/5", "1"), ("3/5", "1")]),
        ("sqrt(thickness_foam**2)", Fraction(16, 5), []),
        ("thickness_main", 1, [("3/5", "1")]),
        ("thickness_foam - thickness_foam", 0, []),
    ],
)
def test_the_plain_sum_of_thicknesses_is_put_on_the_ruler(
    text: str, value: Fraction, changes: list[tuple[str, str]]
) -> None:
    read = padded()
    assert POINT.near(read.drawn(text, "x")) == value
    assert set(read.altered) == {("x", Fraction(before), Fraction(after)) for before, after in changes}


def test_thicknesses_stay_as_they_are_in_an_ease_and_beside_pi() -> None:
    read = padded()
    assert POINT.near(read.drawn("2*thickness_foam", "x", is_ease=True)) == Fraction(32, 5)
    low, high = POINT.enclosure(read.drawn("2*pi*thickness_foam", "x"))
    assert low < high and abs(float(low) - 6.4 * 3.141592653589793) < 1e-12
    assert read.altered == {}
    assert POINT.near(read.difference("width", "2*thickness_foam", "x")) == Fraction(1468, 5)


def test_the_thickness_of_a_material_that_has_none_is_unknown() -> None:
    with pytest.raises(UnreadableInput):
        padded().plain("thickness_lining", "x")
