"""Refused requests: contradictions of each branch, sets apart, how far a relation could come, and no trace left."""

from __future__ import annotations

import pickle
from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest
import z3

from grading.errors import Conflict, ConflictBranch, Stopped
from grading.exact import PI40
from grading.form import dimension, hypotenuse
from grading.model.problem import Problem
from grading.model.relation import Origin
from grading.solve import (
    Alternative,
    Compiled,
    Solution,
    compile_relations,
    conflict_of,
    further_sets,
    give_way,
    reach_of,
    solve,
)
from grading.solve.conflict import branch_shown
from grading.solve.contradiction import contradiction, greatest, system_of
from grading.solve.row import fraction, stated_row
from tests.grading.solve.conflicts import assert_irreducible, assert_shown, can_hold_by_z3, solver_of, z3_form
from tests.grading.solve.drafts import Draft, form
from tests.grading.solve.generated import generated_draft, generated_problem


def refused(problem: Problem, compiled: Compiled | None = None) -> Conflict:
    with pytest.raises(Conflict) as caught:
        solve(problem, compiled)
    return caught.value


def ids_of(conflict: Conflict) -> list[str]:
    return [relation.id for relation in conflict.relations]


def compiled(problem: Problem) -> Compiled:
    return compile_relations(problem.dimensions, problem.relations)


def laptop_draft() -> Draft:
    """A sleeve as wide as the back less two margins of 24 mm, in a bag of 400 mm."""
    draft = Draft()
    draft.proportion("width", 400)
    draft.decide("sleeve")
    draft.equal("covering:sleeve", form(-48, width=1, sleeve=-1), Origin.COVERING)
    draft.equal("asked:width", form(-400, width=1), Origin.ASKED)
    draft.at_least("contents:laptop", form(-370, sleeve=1), Origin.CONTENTS)
    return draft


def test_multipliers_of_a_laptop_that_does_not_fit() -> None:
    conflict = refused(laptop_draft().problem())
    # By hand: (sleeve - 370) + (width - 48 - sleeve) - (width - 400) = -18.
    assert conflict.certificate == (
        ConflictBranch({}, {"covering:sleeve": 1, "asked:width": -1, "contents:laptop": 1}),
    )


def test_every_zip_in_stock_has_a_contradiction_of_its_own() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [200, 250, 300])
    draft.proportion("panel", 300)
    draft.equal("seam:zip", form(zip=1, panel=-1))
    draft.at_least("rule:least", form(-255, panel=1))
    draft.at_least("rule:most", form(295, panel=-1))
    conflict = refused(draft.problem())
    by_value = {int(branch.stock["zip"]): set(branch.multipliers) for branch in conflict.certificate}
    assert by_value == {
        200: {"seam:zip", "rule:least", "stock:zip"},
        250: {"seam:zip", "rule:least", "stock:zip"},
        300: {"seam:zip", "rule:most", "stock:zip"},
    }


def test_contradiction_of_the_documents_own_seams_is_shown_too() -> None:
    draft = Draft()
    for name in ("front", "side", "back"):
        draft.proportion(name, 100)
    draft.equal("seam:first", form(front=1, side=-1))
    draft.equal("seam:second", form(side=1, back=-1))
    draft.equal("seam:third", form(5, front=1, back=-1))
    problem = draft.problem()
    with pytest.raises(Conflict) as caught:
        compiled(problem)
    assert_shown(problem, ids_of(caught.value), caught.value.certificate)


def test_numbers_that_show_nothing_are_no_certificate() -> None:
    problem = laptop_draft().problem()
    right = {"covering:sleeve": Fraction(1), "asked:width": Fraction(-1), "contents:laptop": Fraction(1)}
    assert branch_shown(problem.relations, right, {}) is not None
    for wrong in (
        {**right, "contents:laptop": Fraction(2)},  # the sleeve is left in the sum
        {label: right[label] for label in ("covering:sleeve", "asked:width")},
        {**right, "seam:elsewhere": Fraction(1)},
        {**right, "asked:width": Fraction(1)},  # a width is left in the sum
        {},
    ):
        assert branch_shown(problem.relations, wrong, {}) is None
    loose = tuple(
        replace(relation, form=relation.form + form(20)) if relation.id == "contents:laptop" else relation
        for relation in problem.relations
    )
    assert branch_shown(loose, right, {}) is None


def test_roots_that_are_the_same_cancel_in_a_certificate() -> None:
    draft = Draft()
    draft.proportion("across", 30)
    draft.proportion("along", 40)
    draft.proportion("band", 50)
    slant = hypotenuse(dimension("across"), dimension("along"))
    draft.equal("seam:band", dimension("band") - slant, tolerance="1.5")
    draft.at_least("rule:longer", slant - dimension("band") - form(5))
    conflict = refused(draft.problem())
    assert [dict(branch.multipliers) for branch in conflict.certificate] == [{"seam:band": 1, "rule:longer": 1}]


def test_sets_that_have_nothing_to_do_with_each_other_are_told_apart() -> None:
    draft = laptop_draft()
    draft.proportion("height", 300)
    draft.equal("asked:height", form(-500, height=1), Origin.ASKED)
    draft.at_least("limits:height:most", form(450, height=-1), Origin.LIMITS)
    problem = draft.problem()
    first = conflict_of([Alternative(problem)], compiled(problem))
    assert first is not None
    sets = further_sets([Alternative(problem)], first, compiled(problem))
    assert len(sets) == 1
    both = [set(ids_of(first)), {relation.id for relation in sets[0].relations}]
    assert sorted(map(len, both)) == [2, 3]
    assert not both[0] & both[1]
    for ids, shown in zip(both, (first.certificate, sets[0].certificate), strict=True):
        assert_irreducible(problem, ids)
        assert_shown(problem, ids, shown)


def test_box_that_fits_no_way_round_is_shown_for_every_way_and_none_can_be_spared() -> None:
    """The bag is 300 to 320 wide and 200 high; the box is 250 by 260, either way round."""
    alternatives = []
    for order, sides in (((0, 1, 2), (250, 260)), ((1, 0, 2), (260, 250))):
        draft = Draft()
        draft.proportion("width", 310, 300)
        draft.proportion("height", 200, 200)
        draft.at_least("within:across", form(sides[0], width=-1), Origin.WITHIN)
        draft.at_least("within:along", form(sides[1], height=-1), Origin.WITHIN)
        alternatives.append(Alternative(draft.problem(), order))
    conflict = conflict_of(alternatives, compiled(alternatives[0].problem))
    assert conflict is not None
    assert ids_of(conflict) == ["limits:width:least", "within:across"]
    assert [branch.order for branch in conflict.certificate] == [(0, 1, 2), (1, 0, 2)]
    for alternative, branch in zip(alternatives, conflict.certificate, strict=True):
        assert_shown(alternative.problem, ids_of(conflict), [branch])
    for spare in ids_of(conflict):
        rest = set(ids_of(conflict)) - {spare}
        assert any(can_hold_by_z3(alternative.problem, rest) for alternative in alternatives)


def test_one_way_round_that_fits_is_no_conflict() -> None:
    draft = Draft()
    draft.proportion("width", 310, 300)
    draft.at_least("within:across", form(250, width=-1), Origin.WITHIN)
    small = draft.problem()
    draft = Draft()
    draft.proportion("width", 310, 300)
    draft.at_least("within:across", form(320, width=-1), Origin.WITHIN)
    alternatives = [Alternative(small, (0, 1, 2)), Alternative(draft.problem(), (1, 0, 2))]
    assert conflict_of(alternatives, compiled(small)) is None


def test_what_a_laptop_sleeve_could_come_to() -> None:
    problem = laptop_draft().problem()
    ids = ids_of(refused(problem))
    found = reach_of([Alternative(problem)], ids, "contents:laptop")
    assert found is not None and found.is_exact
    # By hand: a sleeve of 400 - 48 = 352, which lacks 18.
    assert (found.form, found.values["sleeve"]) == (-18, 352)
    wide = reach_of([Alternative(problem)], ids, "asked:width")
    assert wide is not None
    assert (wide.form, wide.values["width"]) == (18, 418)


def test_ring_that_is_asked_for_gives_way_to_the_least_radius_through_pi() -> None:
    draft = Draft()
    draft.proportion("radius", 50, 48)
    draft.proportion("ring", 300)
    draft.equal("asked:ring", form(-300, ring=1), Origin.ASKED)
    draft.equal("seam:ring", dimension("ring") - dimension("radius").times(2).times_pi())
    problem = draft.problem()
    found = reach_of([Alternative(problem)], ids_of(refused(problem)), "asked:ring")
    assert found is not None
    assert found.values["ring"] == 96 * PI40


def test_relation_gives_way_to_the_nearest_zip_in_stock() -> None:
    draft = Draft()
    draft.from_stock("zip", 300, [200, 250, 300])
    draft.proportion("panel", 300)
    draft.equal("seam:zip", form(zip=1, panel=-1))
    draft.equal("asked:panel", form(-262, panel=1), Origin.ASKED)
    problem = draft.problem()
    found = give_way(problem, ["asked:panel"], compiled(problem))
    assert found is not None
    assert found.stock == {"zip": 250}
    assert float(found.forms["asked:panel"]) == pytest.approx(-12, abs=1e-4)
    free = give_way(problem, ["stock:zip"], compiled(problem))
    assert free is not None
    assert float(free.values["zip"]) == pytest.approx(262, abs=1e-4)
    assert give_way(problem, [], compiled(problem)) is None


def test_how_far_a_row_can_go_agrees_with_z3() -> None:
    random, compared = Random(11), 0
    while compared < 25:
        draft = Draft()
        names = [f"d{index}" for index in range(4)]
        for name in names:
            draft.proportion(name, 100, random.randint(0, 40))
            draft.at_least(f"limits:{name}:most", form(random.randint(90, 160), **{name: -1}), Origin.LIMITS)
        for index in range(4):
            some = random.sample(names, 2)
            draft.at_least(
                f"rule:{index}", form(random.randint(0, 90), **{n: random.choice([-2, -1, 1]) for n in some})
            )
        problem = draft.problem()
        target = form(-random.randint(100, 900), **{name: random.randint(-2, 3) for name in names})
        system = system_of(problem.relations)
        if contradiction(system) is not None or contradiction(system.joined("target", stated_row(target))) is None:
            continue
        compared += 1
        best = greatest(system, stated_row(target))
        assert best is not None
        limit = z3.Q(fraction(best).numerator, fraction(best).denominator)
        solver, symbols = solver_of(problem, [relation.id for relation in problem.relations])
        value = z3_form(target, symbols)
        solver.push()
        solver.add(value >= limit)
        assert solver.check() == z3.sat
        solver.pop()
        solver.add(value > limit)
        assert solver.check() == z3.unsat


def test_a_refused_request_leaves_no_trace() -> None:
    draft = generated_draft()
    shared = compile_relations(draft.names, draft.relations)
    state = pickle.dumps(shared)
    wanted = [generated_problem(seed) for seed in range(3)]
    before = [solve(problem, shared) for problem in wanted]
    contradictions = []
    for name, size in (("width", 5000), ("height", 10), ("handle_width", 1)):
        asked = generated_draft()
        asked.equal(f"asked:{name}", form(-size, **{name: 1}), Origin.ASKED)
        contradictions.append(ids_of(refused(asked.problem(), shared)))
    assert all(contradictions)
    after = [solve(problem, shared) for problem in wanted]
    assert [_plain(one) for one in before] == [_plain(one) for one in after]
    assert pickle.dumps(shared) == state


def _plain(solution: Solution) -> list[dict[str, Fraction]]:
    return [dict(part) for part in (solution.nearest, solution.multipliers, solution.stock, solution.printed)]


def test_stop_is_asked_while_a_conflict_is_looked_for() -> None:
    draft = laptop_draft()
    asked = 0

    def stop() -> bool:
        nonlocal asked
        asked += 1
        return asked > 3

    problem = draft.problem()
    with pytest.raises(Stopped):
        conflict_of([Alternative(problem)] * 6, compiled(problem), stop)
