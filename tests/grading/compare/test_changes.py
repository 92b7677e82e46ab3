"""How changes are told, on facts written out by hand."""

from __future__ import annotations

from fractions import Fraction

from grading.compare.changes import Change, Rulers, fact_changes, step_changes
from grading.compare.texts import apart, exactly, shown
from grading.exact import Enclosure, Ruler, enclose_pi, enclose_root

MILLIMETRES = Ruler(Fraction(1), in_inches=False)
INCHES = Ruler(Fraction(254, 80), in_inches=True)
METRIC = Rulers(MILLIMETRES, MILLIMETRES)


def test_lengths_that_cannot_be_told_apart_are_the_same() -> None:
    root = enclose_root(Fraction(2), 40)
    finer = enclose_root(Fraction(2), 60)
    assert root != finer
    assert not apart(root, finer)
    assert fact_changes({"edge": root}, {"edge": finer}, METRIC) == ()
    assert apart(root, exactly(Fraction(1414, 1000)))


def test_a_length_with_pi_changes_by_a_decimal() -> None:
    changes = fact_changes({"rim": enclose_pi().times(Fraction(10))}, {"rim": exactly(Fraction(30))}, METRIC)
    assert changes == (Change("rim", "31.42 mm", "30 mm", "-1.42 mm", None),)


def test_facts_of_one_side_only_are_new_or_gone() -> None:
    changes = fact_changes({"gone": exactly(Fraction(1))}, {"new": 2}, METRIC)
    assert changes == (Change("gone", "1 mm", None), Change("new", None, "2"))


def test_each_side_is_told_on_its_own_ruler_and_the_change_on_the_newer() -> None:
    one, two = exactly(Fraction(254, 10)), exactly(Fraction(254, 5))
    changes = fact_changes({"width": one}, {"width": two}, Rulers(MILLIMETRES, INCHES))
    assert changes == (Change("width", "25.4 mm", "2 in", "+1 in", Fraction(254, 10)),)


def test_a_long_fraction_is_told_as_a_decimal() -> None:
    assert shown(MILLIMETRES, exactly(Fraction(1285, 3))) == "428.33 mm"
    assert shown(MILLIMETRES, Enclosure(Fraction(5, 2), Fraction(5, 2))) == "2.5 mm"


def test_steps_are_paired_where_several_follow_each_other() -> None:
    assert step_changes(("a", "b", "c", "d"), ("a", "x", "y", "d", "e")) == (
        Change("step 2", "b", "x"),
        Change("step 3", "c", "y"),
        Change("step 5", None, "e"),
    )
