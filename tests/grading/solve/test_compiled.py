"""Laws, theorems and the map that equations decide, against SymPy and answers by hand."""

from __future__ import annotations

import pickle
from fractions import Fraction

import pytest
import sympy

from grading.errors import Conflict
from grading.exact import PI40
from grading.form import CONSTANT, Form, dimension, hypotenuse, length
from grading.model.relation import Origin
from grading.solve import Compiled, compile_relations
from tests.grading.solve.drafts import Draft, form
from tests.grading.solve.generated import generated_draft


def compiled(draft: Draft) -> Compiled:
    return compile_relations(draft.names, draft.relations)


def test_seam_that_others_imply_is_a_theorem() -> None:
    draft = Draft()
    for name in ("front", "side", "back"):
        draft.proportion(name, 100)
    draft.equal("seam:first", form(front=1, side=-1))
    draft.equal("seam:second", form(side=1, back=-1))
    draft.equal("seam:third", form(front=1, back=-1))
    found = compiled(draft)
    assert found.laws == ("seam:first", "seam:second")
    assert found.theorems == ("seam:third",)
    assert found.solution == {"side": {"front": 1}, "back": {"front": 1}}


def test_equation_of_nothing_is_a_theorem() -> None:
    draft = Draft()
    draft.proportion("front", 100)
    draft.equal("seam:same", Form())
    assert compiled(draft).theorems == ("seam:same",)


def test_what_one_request_asks_is_not_compiled() -> None:
    draft = Draft()
    draft.fix("hem", 20)
    draft.proportion("facing", 40)
    draft.equal("asked:facing", form(-40, facing=1), Origin.ASKED)
    assert compiled(draft).laws == ()


def test_contradiction_is_named_by_the_rows_that_make_it_and_no_other() -> None:
    draft = Draft()
    for name in ("front", "side", "back", "other"):
        draft.proportion(name, 100)
    draft.equal("seam:other", form(front=1, other=-1))
    draft.equal("seam:first", form(front=1, side=-1))
    draft.equal("seam:second", form(side=1, back=-1))
    draft.equal("seam:third", form(5, front=1, back=-1))
    with pytest.raises(Conflict) as caught:
        compiled(draft)
    relations = caught.value.relations
    assert [relation.id for relation in relations] == ["seam:first", "seam:second", "seam:third"]
    assert relations[0].because == "because seam:first"


def test_rings_around_equal_discs_are_equal_whatever_pi_is() -> None:
    draft = Draft()
    for name in ("radius", "other", "ring", "second"):
        draft.proportion(name, 100)
    draft.equal("covering:alike", form(radius=1, other=-1))
    draft.equal("seam:ring", dimension("ring") - dimension("radius").times(2).times_pi())
    draft.equal("seam:second", dimension("second") - dimension("other").times(2).times_pi())
    draft.equal("seam:rings", form(ring=1, second=-1))
    found = compiled(draft)
    assert found.theorems == ("seam:rings",)
    assert found.solution["ring"] == {"radius": 2 * PI40}


def test_pi_that_is_needed_to_combine_rows_is_taken_as_pi() -> None:
    draft = Draft()
    for name in ("radius", "ring", "other"):
        draft.proportion(name, 100)
    draft.equal("seam:ring", dimension("ring") - dimension("radius").times_pi())
    draft.equal("seam:alike", form(radius=1, other=-1))
    # other × pi = ring follows only with the multiplier pi of the row before.
    draft.equal("seam:again", dimension("other").times_pi() - dimension("ring"))
    assert compiled(draft).theorems == ("seam:again",)


def test_rational_that_looks_like_pi_is_no_pi() -> None:
    draft = Draft()
    for name in ("radius", "ring"):
        draft.proportion(name, 100)
    draft.equal("seam:ring", dimension("ring") - dimension("radius").times_pi())
    draft.equal("seam:nearly", dimension("ring") - dimension("radius").times(PI40))
    found = compiled(draft)
    assert found.theorems == ()
    assert found.laws == ("seam:ring", "seam:nearly")


def slanted_draft() -> Draft:
    draft = Draft()
    for name in ("across", "along", "other_across", "other_along", "top", "foot"):
        draft.proportion(name, 100)
    draft.equal("covering:across", form(across=1, other_across=-1))
    draft.equal("covering:along", form(along=1, other_along=-1))
    return draft


def test_roots_of_areas_that_become_equal_merge() -> None:
    draft = slanted_draft()
    one = hypotenuse(dimension("across"), dimension("along"))
    other = hypotenuse(dimension("other_across"), dimension("other_along"))
    draft.equal("seam:sides", one - other, tolerance="1.5")
    draft.equal("seam:round", dimension("top") + one - dimension("foot") - other - length(3), tolerance="1.5")
    draft.equal("seam:binding", dimension("foot") - one.times(2), tolerance="1.5")
    found = compiled(draft)
    assert found.theorems == ("seam:sides",)
    assert found.merged.keys() == {"seam:sides", "seam:round"}
    assert set(found.grounds["seam:round"]) == {"covering:across", "covering:along"}
    assert found.curved == ("seam:binding",)
    assert found.solution["foot"] == {"top": 1, CONSTANT: -3}


def test_merged_row_lets_further_roots_merge() -> None:
    draft = slanted_draft()
    for name in ("second", "third"):
        draft.proportion(name, 100)
    one = hypotenuse(dimension("across"), dimension("along"))
    other = hypotenuse(dimension("other_across"), dimension("other_along"))
    draft.equal("seam:round", dimension("second") + one - dimension("third") - other)
    later = hypotenuse(dimension("second"), dimension("top"))
    draft.equal("seam:later", later - hypotenuse(dimension("third"), dimension("top")))
    found = compiled(draft)
    assert found.curved == ()
    assert found.theorems == ("seam:later",)
    assert {"covering:across", "covering:along", "seam:round"} <= set(found.grounds["seam:later"])


def test_contradiction_through_merged_roots_names_what_merged_them() -> None:
    draft = slanted_draft()
    one = hypotenuse(dimension("across"), dimension("along"))
    other = hypotenuse(dimension("other_across"), dimension("other_along"))
    draft.equal("seam:feet", form(top=1, foot=-1))
    draft.equal("seam:sides", one - other - length(2))
    with pytest.raises(Conflict) as caught:
        compiled(draft)
    assert {relation.id for relation in caught.value.relations} == {
        "covering:across",
        "covering:along",
        "seam:sides",
    }


def test_compiled_pattern_can_be_sent_to_another_process() -> None:
    draft = generated_draft()
    found = compiled(draft)
    assert pickle.loads(pickle.dumps(found)) == found
    assert found.covers(draft.relations)


def test_compiled_pattern_does_not_cover_other_equations() -> None:
    draft = generated_draft()
    found = compiled(draft)
    assert not found.covers(draft.relations[:-30])
    wider = Draft()
    wider.relations = [*draft.relations]
    wider.equal("seam:more", form(width=1, height=-1))
    assert not found.covers(wider.relations)


def test_map_of_the_large_bag_solves_the_equations_as_sympy_reads_them() -> None:
    draft = generated_draft()
    found = compiled(draft)
    symbols = {name: sympy.Symbol(name) for name in draft.names}
    image = dict(symbols)
    for name, row in found.solution.items():
        image[name] = sum(
            (
                sympy.Rational(value.numerator, value.denominator) * (symbols[key] if key else 1)
                for key, value in row.items()
            ),
            sympy.Integer(0),
        )
    pi = sympy.Rational(PI40.numerator, PI40.denominator)
    checked = 0
    for relation in draft.relations:
        if not relation.is_equation or relation.form.roots or relation.origin is Origin.FIXED:
            continue
        total = sympy.Integer(0)
        for terms, factor in ((relation.form.plain, sympy.Integer(1)), (relation.form.pi, pi)):
            for key, value in terms.items():
                total += factor * sympy.Rational(value.numerator, value.denominator) * (image[key] if key else 1)
        assert sympy.expand(total) == 0, relation.id
        checked += 1
    assert checked > 80


def test_number_of_laws_is_the_rank() -> None:
    draft = generated_draft()
    found = compiled(draft)
    rows = [r.form for r in draft.relations if r.is_equation and r.form.is_rational and r.origin is not Origin.FIXED]
    matrix = sympy.polys.matrices.DomainMatrix(
        [
            [
                sympy.QQ(f.plain.get(n, Fraction(0)).numerator, f.plain.get(n, Fraction(0)).denominator)
                for n in draft.names
            ]
            for f in rows
        ],
        (len(rows), len(draft.names)),
        sympy.QQ,
    )
    rational = {r.id for r in draft.relations if r.is_equation and r.form.is_rational}
    assert matrix.rank() == sum(label in rational for label in found.laws)
