"""The difference of two revisions of a small pouch, its values worked out by hand, and of the demo patterns."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import grading
from grading.compare import Change, Difference, PartChange, SizeDifference
from grading.errors import Stopped
from tests.patterns import GONE, changed, pouch, sheet

DEMOS = sorted((Path(__file__).parents[3] / "demo_requests" / "patterns").glob("*.json"))


def compared(old: dict[str, Any], new: dict[str, Any]) -> Difference:
    return grading.difference(grading.read_document(old), grading.read_document(new))


def base(difference: Difference) -> SizeDifference:
    return next(size for size in difference.sizes if size.name == "base")


def told(part: PartChange) -> dict[str, tuple[str | None, str | None, str | None]]:
    return {change.what: (change.before, change.after, change.by) for change in part.changes}


def named(parts: tuple[PartChange, ...]) -> dict[str, PartChange]:
    return {part.name: part for part in parts}


def test_the_same_pattern_has_no_difference() -> None:
    found = compared(pouch(), pouch())
    assert [size.is_changed for size in found.sizes] == [False, False]
    assert found.only_old == found.only_new == ()


def test_words_that_no_maker_meets_in_a_size_are_no_difference() -> None:
    found = compared(pouch(), changed(pouch(), "rules.shape.because", "it would fall over"))
    assert not any(size.is_changed for size in found.sizes)


def test_a_wider_hem_changes_the_cut_of_one_piece_and_no_seam() -> None:
    size = base(compared(pouch(), changed(pouch(), "pieces.panel.edges.top.allowance", "30 mm")))
    assert list(named(size.pieces)) == ["panel"]
    # 90 + 25 + 10 = 125 and 90 + 30 + 10 = 130 along the grain, in both layers.
    assert told(size.pieces[0]) == {
        "main along": ("125 mm", "130 mm", "+5 mm"),
        "lining along": ("125 mm", "130 mm", "+5 mm"),
        "allowance of top": ("25 mm", "30 mm", "+5 mm"),
    }
    assert size.pieces[0].changes[0].amount == 5
    assert (size.seams, size.dimensions, size.steps, size.findings, size.coverings) == ((), (), (), (), ())


def test_a_wider_pouch_changes_its_dimensions_pieces_and_the_seam_along_the_bottom() -> None:
    size = base(compared(pouch(), changed(pouch(), "dimensions.width.base", 118)))
    assert size.dimensions == (
        Change("width", "120 mm", "118 mm", "-2 mm", Fraction(-2)),
        Change("pocket_width", "120 mm", "118 mm", "-2 mm", Fraction(-2)),
    )
    assert list(named(size.seams)) == ["bottom"]
    assert told(size.seams[0]) == {
        "join side": ("120 mm", "118 mm", "-2 mm"),
        "to side": ("120 mm", "118 mm", "-2 mm"),
    }
    panel = told(named(size.pieces)["panel"])
    assert panel["main across"] == ("140 mm", "138 mm", "-2 mm")  # with 10 mm on either side
    assert panel["notch middle along bottom"] == ("60 mm", "59 mm", "-1 mm")
    assert "main along" not in panel


def test_a_piece_may_be_new_or_gone() -> None:
    flap = {"outline": {"rectangle": [60, 40]}, "layers": [{"material": "main"}]}
    new = changed(pouch(), "pieces.flap", flap)
    assert base(compared(pouch(), new)).pieces == (PartChange("flap", "added", ()),)
    assert base(compared(new, pouch())).pieces == (PartChange("flap", "removed", ()),)


def test_another_number_of_layers_or_another_cloth_is_told() -> None:
    layers = [{"material": "lining", "name": "main", "count": 2}]
    size = base(compared(pouch(), changed(pouch(), "pieces.pocket.layers", layers)))
    assert told(named(size.pieces)["pocket"]) == {
        "main count": ("1", "2", "+1"),
        "main material": ("main", "lining", None),
    }


def test_an_outline_that_changes_between_equal_measures_is_told() -> None:
    # Leaning 10 mm to the right or to the left, all four edges and the box of 110 by 50 are alike.
    right, left = (
        sheet({"trapezoid": {"top": 100, "bottom": 100, "height": 50, "lean": lean}}, {"unused": 10})
        for lean in (10, -10)
    )
    piece = named(base(compared(right, left)).pieces)["sheet"]
    assert told(piece) == {
        "outline": (
            "(100 mm, 0 mm) (110 mm, -50 mm) (10 mm, -50 mm) (0 mm, 0 mm)",
            "(100 mm, 0 mm) (90 mm, -50 mm) (-10 mm, -50 mm) (0 mm, 0 mm)",
            None,
        )
    }


def test_the_rim_of_a_disc_changes_by_two_pi_times_the_radius() -> None:
    discs = [sheet({"disc": {"radius": "radius"}}, {"radius": radius}) for radius in (50, 60)]
    piece = named(base(compared(*discs)).pieces)["sheet"]
    # 2 pi 50 = 314.159…, 2 pi 60 = 376.991…, 2 pi 10 = 62.831…
    assert told(piece)["edge rim"] == ("314.16 mm", "376.99 mm", "+62.83 mm")
    assert next(change.amount for change in piece.changes if change.what == "edge rim") is None


def test_steps_whose_measures_change_are_told_with_their_number() -> None:
    size = base(compared(pouch(), changed(pouch(), "coverings.pocket_on_front.clear.top", "35 mm")))
    assert size.steps == (Change("step 3", "Tack it 30 mm below.", "Tack it 35 mm below."),)
    assert told(size.coverings[0])["from the top"] == ("30 mm", "35 mm", "+5 mm")
    assert told(size.coverings[0])["from the bottom"] == ("10 mm", "5 mm", "-5 mm")  # 90 - 30 - 50, 90 - 35 - 50


def test_a_step_that_is_put_in_leaves_the_others_as_they_are() -> None:
    document = pouch()
    document["steps"].insert(1, {"text": "Press.", "action": "press"})
    assert base(compared(pouch(), document)).steps == (Change("step 2", None, "Press."),)
    assert base(compared(document, pouch())).steps == (Change("step 2", "Press.", None),)


def test_findings_are_compared_by_name() -> None:
    strap = {"webbing": {"width": 25, "length": "2*width", "ends": {"by": 30}}}
    old = changed(changed(pouch(), "findings.strap", strap), "findings.ring", {"hardware": {"what": "ring"}})
    new = changed(changed(old, "findings.strap.webbing.ends.by", 40), "findings.ring", GONE)
    size = base(compared(old, new))
    assert named(size.findings)["ring"].kind == "removed"
    # 2 × 120 + 2 × 30 = 300, 2 × 120 + 2 × 40 = 320
    assert told(named(size.findings)["strap"]) == {"length": ("300 mm", "320 mm", "+20 mm")}


def test_sizes_that_only_one_side_has_are_listed() -> None:
    new = changed(changed(pouch(), "sizes.wide", GONE), "sizes.tall", {"set": {"height": "100 mm"}})
    found = compared(pouch(), new)
    assert ([size.name for size in found.sizes], found.only_old, found.only_new) == (["base"], ("wide",), ("tall",))


def test_a_size_of_the_same_name_that_is_asked_otherwise_says_so() -> None:
    new = changed(pouch(), "sizes.wide", {"set": {"width": "160 mm"}})
    wide = next(size for size in compared(pouch(), new).sizes if size.name == "wide")
    assert [change.what for change in wide.asked] == ["set"]
    assert wide.dimensions[0] == Change("width", "150 mm", "160 mm", "+10 mm", Fraction(10))


@pytest.mark.parametrize("turned", [False, True])
def test_a_size_that_one_side_cannot_make_is_told_and_the_others_are_compared(turned: bool) -> None:
    narrow = changed(pouch(), "dimensions.width.limits", [80, 140])  # the size wide asks for 150
    pair = (narrow, pouch()) if turned else (pouch(), narrow)
    found = compared(*pair)
    wide = next(size for size in found.sizes if size.name == "wide")
    here, there = (wide.refused_before, wide.refused_after) if turned else (wide.refused_after, wide.refused_before)
    assert here is not None
    assert "width is at most 140 mm" in here.says
    assert there is None
    assert wide.is_changed
    assert not base(found).is_changed


def test_a_size_that_neither_side_can_make_has_not_changed() -> None:
    narrow = changed(pouch(), "dimensions.width.limits", [80, 140])
    wide = next(size for size in compared(narrow, narrow).sizes if size.name == "wide")
    assert wide.refused_before is not None
    assert wide.refused_after is not None
    assert not wide.is_changed


def test_only_sizes_of_a_published_edition_that_change_are_affected() -> None:
    published = changed(pouch(), "edition", {"state": "published"})
    wider = changed(published, "sizes.wide.set.width", "160 mm")
    assert compared(published, wider).published == ("wide",)
    assert compared(published, changed(published, "sizes.wide", GONE)).published == ("wide",)
    assert compared(changed(wider, "edition.state", "in testing"), published).published == ()
    assert compared(published, published).published == ()
    written = grading.difference_document(compared(published, wider))
    assert written["says"] == "1 of 2 sizes change; published and affected: wide"


def test_two_editions_are_each_told_on_their_own_ruler() -> None:
    metric = sheet({"rectangle": ["width", "height"]})
    imperial = changed(changed(metric, "ruler", "1/8 in"), "dimensions.width.base", "5 in")
    size = base(compared(metric, imperial))
    width = next(change for change in size.dimensions if change.what == "width")
    assert (width.before, width.after, width.by, width.amount) == ("120 mm", "5 in", "+7 mm", Fraction(7))
    assert size.asked == (Change("ruler", "1 mm", "1/8 in"),)


def test_a_comparison_may_be_stopped() -> None:
    pattern = grading.read_document(pouch())
    with pytest.raises(Stopped):
        grading.difference(pattern, pattern, stop=lambda: True)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_cut_measures_of_demo_patterns_change_as_their_cut_lists_do(path: Path) -> None:
    old = json.loads(path.read_text(encoding="utf-8"))
    new = {**old, "allowance": "12 mm"}
    found = compared(old, new)
    assert found.sizes
    for size in found.sizes:
        rows = [
            {
                (row["piece"], row["layer"], way): row[way]
                for row in grading.grade_document(grading.grade_size(grading.read_document(document), size=size.name))[
                    "cut_list"
                ]
                for way in ("across", "along")
            }
            for document in (old, new)
        ]
        expected = {key: (rows[0][key], rows[1][key]) for key in rows[0] if rows[0][key] != rows[1][key]}
        reported = {
            (part.name, *change.what.rsplit(" ", 1)): (change.before, change.after)
            for part in (*size.pieces, *size.findings)
            for change in part.changes
            if (part.name, *change.what.rsplit(" ", 1)) in rows[0]
        }
        assert reported == expected
        assert expected
    json.dumps(grading.difference_document(found))
