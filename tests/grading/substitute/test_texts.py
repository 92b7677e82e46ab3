"""Forms as expressions: what is written is read as the same form, with every constant on its own."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.document.expressions import Scope, length_value
from grading.exact import read_ruler
from grading.form import Form, dimension, length, root
from grading.substitute.apart import ApartScope, constant_term
from grading.substitute.texts import Writer

NAMES = frozenset({"width", "height", "depth"})
EXPRESSIONS = [
    "width",
    "-width/3",
    "(width - 15)/2",
    "height - 12.5 - 12.5 + width/3",
    "100",
    "5/8 in",
    "-20 mm",
    "0*width + 40.6 - 20.3",
    "2*pi*(width - 15) + 3*sqrt(width**2 + 15*height*height)",
    "2*pi + 15",
    "width + 15 + 2*pi",
    "sqrt((width - 15)**2 + height**2)/2 - 7",
    "(width - 1/3)*7/11 - 0.25",
]


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("text", EXPRESSIONS)
def test_what_is_written_of_an_expression_reads_the_same(text: str, unit: str) -> None:
    scope = ApartScope(unit, NAMES)
    form = length_value(text, scope)
    assert length_value(Writer(unit, "width").text(form), scope) == form


coefficients = st.fractions(-9, 9, max_denominator=12).filter(bool)
constants = st.decimals("0.1", 500, places=2).map(Fraction)


@given(
    dimensions=st.dictionaries(st.sampled_from(sorted(NAMES)), coefficients, max_size=3),
    constants=st.dictionaries(constants, coefficients, max_size=4),
    ruler=st.sampled_from(["1 mm", "1/8 in", "5 mm"]),
)
def test_a_written_sum_comes_to_the_same_on_every_ruler(
    dimensions: dict[str, Fraction], constants: dict[Fraction, Fraction], ruler: str
) -> None:
    on = read_ruler(ruler)
    form, wanted = Form(), Form()
    for name, factor in dimensions.items():
        form += dimension(name).times(factor)
        wanted += dimension(name).times(factor)
    for value, factor in constants.items():
        form += constant_term(value).times(factor)
        wanted += length(on.put(value)).times(factor)
    text = Writer("mm", "width").text(form)
    assert length_value(text, Scope("mm", NAMES, ruler=on)) == wanted, text


def test_a_constant_alone_is_a_length_in_the_unit_of_the_document() -> None:
    assert Writer("mm", "width").text(constant_term(Fraction(130))) == "130 mm"
    assert Writer("in", "width").text(constant_term(Fraction(635, 8))) == "3 1/8 in"
    assert Writer("mm", "width").text(Form()) == "0"


def test_a_form_of_a_model_is_written_with_its_one_constant() -> None:
    form = dimension("height") - length(15) - dimension("width").times(Fraction(1, 2))
    assert Writer("mm", "width").text(form) == "height - width/2 - 15"
    assert Writer("mm", "width").text(root(dimension("width").squared())) == "sqrt(width*width)"
