"""Allowances that stay raw where they are seen."""

from __future__ import annotations

import pytest

from tests.grading.check.sound import lined_bag, places, pouch, said, told, zipped_bag
from tests.patterns import GONE, changed


def test_raw_allowances_inside_an_unlined_pouch_are_a_fault() -> None:
    note = told(changed(pouch(), "pieces.panel.edges.bottom", GONE), "raw_inside")
    assert (note.path, note.is_remark) == ("seams.bottom", False)
    assert "overcast" in note.remedy


@pytest.mark.parametrize("finish", ["overcast", "turned in", "raw"])
def test_a_finish_that_is_said_will_do_even_if_it_is_none(finish: str) -> None:
    assert said(changed(pouch(), "pieces.panel.edges.bottom.finish", finish)) == []


def test_one_side_is_enough_where_the_finish_goes_round_both() -> None:
    assert said(changed(pouch(), "pieces.panel.edges.left", GONE)) == []  # front.right and back.right have one


def test_a_lining_hides_the_allowances_of_its_bag() -> None:
    assert said(lined_bag()) == []


def test_a_zip_shows_the_inside() -> None:
    assert places(changed(zipped_bag(), "pieces.panel.edges.bottom", GONE), "raw_inside") == ["seams.bottom"]


def test_mesh_does_not_fray() -> None:
    document = changed(pouch(), "pieces.panel.edges.bottom", GONE)
    assert places(changed(document, "materials.main.kind", "mesh"), "raw_inside") == []
