"""Worked examples of a sewing course of 1910, recomputed as patterns and graded.

Idabelle McGlauflin, Handicraft for Girls, Manual Arts Press, Peoria, 1910; Project Gutenberg 34854; public domain.
Numbers marked C are worked out from the book's, the others are the book's own.
"""

from __future__ import annotations

from typing import Any

import pytest

from grading.exact import INCH, read_length
from grading.pipeline import check_document, grade_document, grade_size, read_document
from tests.patterns import sheet

Json = dict[str, Any]
IN_INCHES = {"unit": "in", "ruler": "1/8 in", "allowance": "1/4 in"}


def graded(document: Json) -> Json:
    return grade_document(grade_size(read_document(document), size="base"))


def cut(grade: Json, piece: str) -> tuple[str, str]:
    row = next(item for item in grade["cut_list"] if item["piece"] == piece)
    return row["across"], row["along"]


def book_bag() -> Json:
    """The book bag (third-year elective, printed p. 38): cloth 15 by 13, of which a strip of 3 makes the ends."""
    return {
        **IN_INCHES,
        "format": 1,
        "name": "Book bag",
        "dimensions": {
            "cloth": {"base": 15, "sizing": "fixed", "says": "length of the body sheet"},
            "sheet": {"base": 10, "sizing": "fixed", "says": "width of the body sheet"},
            "depth": {"base": "2 1/2 in", "sizing": "fixed", "says": "width of the bottom"},
            "hem": {"base": "3/4 in", "sizing": "fixed", "says": "hem at the top"},
            "turning": {"base": "1/4 in", "sizing": "fixed", "says": "what is turned in all round"},
            "length": {"base": 9, "sizing": "decided"},
            "wall": {"base": 5, "sizing": "decided", "says": "height of the finished bag"},
        },
        "materials": {"main": {"says": "denim"}},
        "pieces": {
            "body": {
                "outline": {"rectangle": ["length", "2*wall + depth"]},
                "edges": {"top": {"allowance": "1 in", "fate": "hemmed twice"},
                          "bottom": {"allowance": "1 in", "fate": "hemmed twice"}},
                "layers": [{"material": "main"}],
            },
            "end": {
                "uses": ["end", "other_end"],
                "outline": {"rectangle": ["depth", "wall"]},
                "edges": {"top": {"allowance": "1 in", "fate": "hemmed twice"}},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {
            "round_end": {"join": ["body.right"], "to": ["end.left", "end.bottom", "end.right"], "kind": "lapped"},
            "round_other_end": {"join": ["body.left"], "to": ["other_end.left", "other_end.bottom", "other_end.right"],
                                "kind": "lapped"},
        },
        "rules": {
            "body_from_the_sheet": {"holds": "2*wall + depth + 2*(hem + turning) == cloth",
                                    "because": "the body is the whole length of the sheet"},
            "width_of_the_sheet": {"holds": "length + 2*turning == sheet",
                                   "because": "the body is as wide as the sheet"},
        },
    }  # fmt: skip


def test_the_book_bag_comes_to_nine_and_a_half_by_two_and_a_half_by_five_and_a_quarter() -> None:
    grade = graded(book_bag())
    assert grade["dimensions"]["length"]["value"] == "9 1/2 in"  # C: 10 - 2 × 1/4
    assert grade["dimensions"]["depth"]["value"] == "2 1/2 in"  # C: 3 - 2 × 1/4
    assert grade["dimensions"]["wall"]["value"] == "5 1/4 in"  # C: (15 - 2 × 1/4 - 2 1/2)/2 - 3/4


def test_the_book_bag_is_a_sound_draft() -> None:
    assert check_document(book_bag()).faults == ()


def test_the_book_bag_is_cut_from_its_sheet() -> None:
    grade = graded(book_bag())
    assert cut(grade, "body") == ("10 in", "15 in")
    across, along = cut(grade, "end")
    assert across == "3 in"  # the strip that is cut off is 3 wide
    # The book cuts the ends 7 1/2 long and then trims them: the bag needs less.
    assert along == "6 1/2 in"
    assert read_length(along) < read_length("7 1/2 in")
    assert 15 * 10 + 2 * 7.5 * 3 == 15 * 13


def test_the_ends_of_the_book_bag_go_round_into_the_body() -> None:
    grade = graded(book_bag())
    assert grade["seams"]["round_end"]["join"] == grade["seams"]["round_end"]["to"] == "13 in"  # C: 2 × 5 1/4 + 2 1/2


def round_holder(radius: str) -> Json:
    document = sheet({"disc": {"radius": "radius"}}, {"radius": radius}, uses=["one", "other"])
    document |= IN_INCHES
    document["pieces"]["sheet"]["edges"] = {"rim": {"fate": "bound"}}
    document["materials"]["bias"] = {}
    document["findings"] = {
        "edging": {"binding": {"width": "1 in", "along": ["one.rim"], "material": "bias"}},
        "other_edging": {"binding": {"width": "1 in", "along": ["other.rim"], "material": "bias"}},
    }
    return document


@pytest.mark.parametrize(
    ("radius", "diameter", "cloth"),
    # The holder: two circles of 3 3/8 from 14 × 7; its case: two of 3 5/8 from 15 × 7 3/4.
    [("3 3/8 in", "6 3/4 in", ("14 in", "7 in")), ("3 5/8 in", "7 1/4 in", ("15 in", "7 3/4 in"))],
)
def test_the_circles_of_the_round_holder_come_from_the_cloth_that_the_book_says(
    radius: str, diameter: str, cloth: tuple[str, str]
) -> None:
    grade = graded(round_holder(radius))
    assert cut(grade, "sheet") == (diameter, diameter)
    assert grade["cut_list"][0]["count"] == 2
    assert 2 * read_length(diameter) <= read_length(cloth[0])
    assert read_length(diameter) <= read_length(cloth[1])


def test_the_binding_of_the_case_leaves_two_inches_for_its_joins() -> None:
    # The book cuts the bias 25 long, in three pieces. C: 2 pi × 3.625 = 22.78, and 2.22 are left.
    grade = graded(round_holder("3 5/8 in"))
    rim = read_length(grade["pieces"]["sheet"]["edges"]["rim"]["length"]) / INCH
    assert float(rim) == pytest.approx(22.78, abs=0.005)
    assert float(25 - rim) == pytest.approx(2.22, abs=0.005)
    strip = next(item for item in grade["findings"] if item["name"] == "edging")
    assert strip["length"] == "22 7/8 in"  # raised to the eighth


@pytest.mark.parametrize(
    ("finished", "as_cut"), [("1 1/2 in", "2 in"), ("3 1/2 in", "4 in"), ("3 1/4 in", "3 3/4 in")]
)  # Exercise 38
def test_bands_are_cut_with_a_quarter_inch_on_both_sides(finished: str, as_cut: str) -> None:
    document = sheet({"rectangle": ["length", "width"]}, {"length": "20 in", "width": finished}) | IN_INCHES
    assert cut(graded(document), "sheet") == ("20 1/2 in", as_cut)
