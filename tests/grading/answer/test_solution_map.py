"""The map for all sizes: every equation holds of it at every size, and it claims as much as SymPy says follows."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random

import pytest
import sympy

from grading import verify
from grading.exact import PI40
from grading.form import Form
from grading.model.relation import Origin, Relation
from grading.pipeline import Prepared, compile_document, prepare, read_document, solution_map, variant_of
from tests.conftest import DEMO_NAMES
from tests.grading.answer.bags import Json, sleeve
from tests.patterns import changed


def values_at(found: Json, free: dict[str, Fraction]) -> dict[str, Fraction]:
    known = {**free, "1": Fraction(1)}
    decided = {
        name: sum((Fraction(value) * known[key] for key, value in row.items()), Fraction(0))
        for name, row in found["map"].items()
    }
    return {**free, **decided}


def coefficient(form: Form, name: str) -> sympy.Rational:
    value = form.plain.get(name, Fraction(0)) + PI40 * form.pi.get(name, Fraction(0))
    return sympy.Rational(value.numerator, value.denominator)


def lasting(prepared: Prepared) -> list[Relation]:
    return [each for each in prepared.model.relations if each.is_equation and each.origin is not Origin.FIXED]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_equation_holds_at_every_size(
    name: str, demo_prepared: Callable[[str], Prepared], demo_documents: dict[str, Json]
) -> None:
    prepared, random = demo_prepared(name), Random(name)
    found = solution_map(prepared.model.pattern, prepared)
    curved = set(found["curved"])
    for _ in range(3):
        free = {each: Fraction(random.randint(1, 10**6), random.randint(1, 10**3)) for each in found["free"]}
        values = values_at(found, free)
        for relation in lasting(prepared):
            if relation.id not in curved and not relation.form.roots:
                assert relation.form.stated(values) == 0, relation.id
    assert {*found["free"], *found["map"]} == set(prepared.model.draft.base)


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_as_many_dimensions_are_free_as_the_rank_leaves(name: str, demo_prepared: Callable[[str], Prepared]) -> None:
    prepared = demo_prepared(name)
    found = solution_map(prepared.model.pattern, prepared)
    dimensions = list(prepared.model.draft.base)
    rows = [
        [coefficient(relation.form, each) for each in dimensions]
        for relation in lasting(prepared)
        if not relation.form.roots
    ]
    rank = sympy.polys.matrices.DomainMatrix.from_Matrix(sympy.Matrix(rows)).rank()
    if not found["curved"] and all(not relation.form.roots for relation in lasting(prepared)):
        assert len(found["free"]) == len(dimensions) - rank
    else:
        assert len(found["free"]) <= len(dimensions) - rank


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_verifier_agrees_and_sees_every_wrong_coefficient(
    name: str, demo_prepared: Callable[[str], Prepared], demo_documents: dict[str, Json]
) -> None:
    prepared = demo_prepared(name)
    document = demo_documents[name]
    found = solution_map(read_document(document), prepared)
    assert verify.judge_map(document, found).holds
    some = Random(name).sample([(each, key) for each, row in found["map"].items() for key in row], 5)
    for each, key in some:
        wrong = {**found["map"], each: {**found["map"][each], key: str(Fraction(found["map"][each][key]) + 1)}}
        assert not verify.judge_map(document, {**found, "map": wrong}).holds, (each, key)


def test_map_of_the_pouch_by_hand() -> None:
    prepared = compile_document(read_document(sleeve()))
    found = solution_map(prepared.model.pattern, prepared)
    # The pocket is caught in both side seams, so it is as wide as the panel; nothing else is decided.
    assert found == {
        "format": 1,
        "kind": "map",
        "pattern": "Flat pouch",
        "ruler": "1 mm",
        "free": ["width", "height", "pocket_height", "zip_length", "strap"],
        "map": {"pocket_width": {"width": "1"}},
        "curved": [],
    }


def test_equation_with_roots_that_stay_is_listed_and_not_mapped() -> None:
    document = changed(
        sleeve(), "rules.slant", {"holds": "sqrt(width**2 + height**2) == 150", "because": "the flap folds there"}
    )
    prepared = compile_document(read_document(document))
    found = solution_map(prepared.model.pattern, prepared)
    assert found["curved"] == ["rule:slant"]
    assert "height" in found["free"]


def test_choice_of_options_stands_in_the_map() -> None:
    document = changed(sleeve(), "options", {"pocket": {"choices": ["with", "without"]}})
    for path in ("pieces.pocket", "coverings.pocket_on_front", "contents.card", "steps.1", "steps.2"):
        document = changed(document, f"{path}.when", {"pocket": "with"})
    pattern = read_document(document)
    without = prepare(pattern, variant_of(pattern, request={"options": {"pocket": "without"}}))
    found = solution_map(pattern, without, {"pocket": "without"})
    assert found["options"] == {"pocket": "without"}
    assert found["map"] == {}
