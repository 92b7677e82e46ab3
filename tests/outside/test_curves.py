"""Cones, rounded corners and gathers as others have worked them out, recomputed as patterns and graded.

- "Cone Layout", anvilfire.com/21centbs/math/cones1.htm: a cone with an apex of 90 degrees is laid out over 254.6
  degrees, which is 360 × sin 45.
- "Making a Frustum of a Cone", mathforum.org/library/drmath/view/65796.html: with the radii R and r and the slant
  height s the outer radius of the flat is S = R s/(R - r), and it turns by 360 (R - r)/s degrees.
- "Sewing-Bag", Garments for Girls (chestofbooks.com/crafts/needlework/Garments-For-Girls/Sewing-Bag.html): a body of
  36 inches is gathered on a round bottom of 4 inches, so 36/(4 pi) = 2.86 : 1.
- Lengths by mpmath, areas by shapely.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import mpmath
import pytest

from grading.exact import read_length
from grading.pipeline import grade_document, grade_size, prove, read_document
from grading.verify import judge
from tests.drawing import cut_polygon, drawn, stitched_polygon
from tests.patterns import sheet

Json = dict[str, Any]
INCH = 25.4


def graded(document: Json) -> Json:
    """The base size of a pattern; nothing is claimed of edges without a fate here."""
    return grade_document(grade_size(read_document(document), size="base"))


def millimetres(text: str) -> float:
    return float(read_length(text))


def flat(document: Json) -> tuple[float, float, float]:
    """The outer radius, the inner one (0 without an inner edge) and the angle in degrees of the one flat piece."""
    piece = graded(document)["pieces"]["sheet"]
    at = piece["start"]
    segment = piece["edges"]["outer"]["segments"][0]
    radius = math.hypot(*(millimetres(text) for text in at))
    chord = math.dist([millimetres(text) for text in at], [millimetres(text) for text in segment["to"]])
    angle = 2 * math.degrees(math.asin(chord / 2 / radius))
    below = millimetres(at[1]) < 0  # an angle above half a turn ends below the middle
    inner = piece["edges"].get("inner", {"segments": [{"to": ["0 mm", "0 mm"]}]})["segments"][0]["to"]
    return radius, math.hypot(*(millimetres(text) for text in inner)), 360 - angle if below else angle


def test_a_cone_with_an_apex_of_90_degrees_is_laid_out_over_254_6() -> None:
    outline = {"cone": {"bottom": "radius", "top": 0, "height": "radius"}}
    outer, inner, angle = flat(sheet(outline, {"radius": 500}))
    assert outer == pytest.approx(500 * math.sqrt(2), abs=0.01)
    assert inner == 0
    assert angle == pytest.approx(254.6, abs=0.05)
    assert angle == pytest.approx(360 * math.sin(math.pi / 4), abs=0.01)


@pytest.mark.parametrize(("bottom", "top", "height"), [(140, 110, 260), (300, 100, 150), (90, 60, 400)])
def test_the_flat_of_a_frustum(bottom: int, top: int, height: int) -> None:
    outline = {"cone": {"bottom": "bottom", "top": "top", "height": "height"}}
    outer, inner, angle = flat(sheet(outline, {"bottom": bottom, "top": top, "height": height}))
    slant = math.hypot(bottom - top, height)
    assert outer == pytest.approx(bottom * slant / (bottom - top), abs=0.02)
    assert inner == pytest.approx(outer - slant, abs=0.02)
    assert angle == pytest.approx(360 * (bottom - top) / slant, abs=0.01)


def test_a_cone_has_the_area_of_its_flat() -> None:
    """pi × (bottom + top) × slant: the lateral area of a frustum, in any textbook."""
    outline = {"cone": {"bottom": "bottom", "top": "top", "height": "height", "share": "1/2"}}
    piece = drawn(sheet(outline, {"bottom": 140, "top": 110, "height": 260}))["sheet"]
    area = math.pi * (140 + 110) * math.hypot(30, 260) / 2
    assert stitched_polygon(piece).area == pytest.approx(area, rel=1e-5)
    assert stitched_polygon(piece).is_valid


@pytest.mark.parametrize("turn", ["1/8", "1/2", "3/4", "4/5"])
def test_a_sector_has_the_area_of_its_part_of_the_ring(turn: str) -> None:
    outline = {"sector": {"outer": "width", "inner": "width/3", "turn": turn}}
    piece = drawn(sheet(outline, {"width": 120}))["sheet"]
    area = math.pi * (120**2 - 40**2) * float(Fraction(turn))
    assert stitched_polygon(piece).area == pytest.approx(area, rel=1e-4)
    cut = cut_polygon(piece)
    assert cut.is_valid
    assert cut.contains(stitched_polygon(piece).buffer(-1e-6))
    assert stitched_polygon(piece).exterior.distance(cut.exterior) == pytest.approx(10, abs=0.01)


def test_a_body_of_36_inches_on_a_round_bottom_of_4_is_gathered_2_86_to_1() -> None:
    document: Json = {
        "format": 1,
        "name": "School sewing bag",
        "unit": "in",
        "ruler": "1/8 in",
        "allowance": "1/2 in",
        "seam_tolerance": "1/4 in",
        "dimensions": {
            "across": {"base": 4, "sizing": "fixed"},
            "round_it": {"base": 36, "sizing": "decided"},
            "high": {"base": 10},
        },
        "materials": {"main": {}},
        "pieces": {
            "body": {
                "outline": {"rectangle": ["round_it", "high"]},
                "edges": {"top": {"fate": "hemmed twice"}},
                "layers": [{"material": "main"}],
            },
            "bottom": {"outline": {"disc": {"radius": "across/2"}}, "layers": [{"material": "main"}]},
        },
        "seams": {
            "side": {"join": ["body.right"], "to": ["body.left"]},
            "round": {"join": ["body.bottom"], "to": ["bottom.rim"], "fullness": "2.86", "closed": True},
        },
    }
    grade = graded(document)
    assert millimetres(grade["dimensions"]["round_it"]["value"]) / INCH == pytest.approx(36, abs=1 / 8)
    assert 36 / (4 * math.pi) == pytest.approx(2.86, abs=0.01)
    assert all(claim.holds for claim in judge(document, grade).claims)


def test_gathers_on_a_curve_take_the_fullness_of_its_length() -> None:
    """A frill of twice the length of a hem that hangs in an arc of 30 over 200."""
    document: Json = {
        "format": 1,
        "name": "Frilled flap",
        "dimensions": {"width": {"base": 200}, "frill": {"base": 400, "sizing": "decided"}},
        "materials": {"main": {}},
        "pieces": {
            "flap": {
                "outline": {
                    "start": [0, 0],
                    "edges": [
                        {"name": "top", "to": ["width", 0]},
                        {"name": "hem", "to": [0, 0], "arc": "right", "rise": "width*3/20"},
                    ],
                },
                "edges": {"top": {"fate": "raw"}},
                "layers": [{"material": "main"}],
            },
            "frill": {
                "outline": {"rectangle": ["frill", 30]},
                "edges": {name: {"fate": "hemmed once"} for name in ("right", "bottom", "left")},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {"gather": {"join": ["frill.top"], "to": ["flap.hem"], "fullness": "2"}},
    }
    grade = grade_size(read_document(document), size="base")
    radius = mpmath.mpf(100**2 + 30**2) / 60
    arc = 2 * radius * mpmath.asin(100 / radius)
    nearest = grade.solution.nearest["frill"]
    assert abs(mpmath.mpf(nearest.numerator) / nearest.denominator - 2 * arc) < 1e-12
    assert all(claim.holds for claim in prove(grade))
    assert all(claim.holds for claim in judge(document, grade_document(grade)).claims)


def test_twelve_by_eight_with_ellipses_for_corners() -> None:
    """Quarters of an ellipse with half axes of 3 and 2 by mpmath's elliptic integral."""
    outline: Json = {
        "start": [0, 0],
        "edges": [
            {"name": "top", "to": ["width", 0]},
            {"name": "right", "to": ["width", "2 - height"]},
            {"name": "right_corner", "to": ["width - 3", "-height"], "ellipse": "right"},
            {"name": "bottom", "to": [3, "-height"]},
            {"name": "left_corner", "to": [0, "2 - height"], "ellipse": "right"},
            {"name": "left", "to": [0, 0]},
        ],
    }
    document = sheet(outline, {"width": 12, "height": 8}) | {"unit": "in", "ruler": "1/8 in", "allowance": "1/4 in"}
    edges = graded(document)["pieces"]["sheet"]["edges"]
    quarter = 3 * float(mpmath.ellipe(1 - mpmath.mpf(4) / 9))
    for name in ("right_corner", "left_corner"):
        assert millimetres(edges[name]["length"]) / INCH == pytest.approx(quarter, abs=0.0001)


def test_the_area_beside_a_cubic() -> None:
    """Inner points a third and two thirds of the way across, h and k deep: w (h + k)/4 is hollow, by integration."""
    outline: Json = {
        "start": [0, 0],
        "edges": [
            {"name": "left", "to": [0, 80]},
            {"name": "over", "to": [210, 80], "cubic": [[70, 30], [140, 50]]},
            {"name": "right", "to": [210, 0]},
            {"name": "under", "to": [0, 0]},
        ],
    }
    piece = drawn(sheet(outline))["sheet"]
    assert stitched_polygon(piece).area == pytest.approx(210 * 80 - 210 * (50 + 30) / 4, rel=1e-5)
