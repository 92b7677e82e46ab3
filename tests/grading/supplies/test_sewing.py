"""What is sewn, how often, and through how much: the thread of a bag."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.exact import read_length
from grading.pipeline import grade_size, read_document
from grading.supplies.layering import layering
from grading.supplies.sewing import Sewn, all_sewn
from tests.conftest import DEMO_NAMES
from tests.grading.supplies.bags import RAW, band, supplied
from tests.patterns import changed, pouch

Json = dict[str, Any]


def sewn_in(document: Json) -> dict[str, Sewn]:
    grade = grade_size(read_document(document), size="base")
    return {each.name: each for each in all_sewn(layering(grade, Fraction(6, 10)))}


def thick_pouch() -> Json:
    """The pouch with canvas of 1 mm and a lining of 0.25 mm."""
    document = changed(pouch(), "materials.main.thickness", "1 mm")
    return changed(document, "materials.lining.thickness", "0.25 mm")


def test_seams_are_sewn_through_both_sides_and_what_is_caught_in_them() -> None:
    sewn = sewn_in(thick_pouch())
    assert (sewn["bottom"].length, sewn["bottom"].passes, sewn["bottom"].thickness) == (120, 1, Fraction("2.5"))
    # Canvas and lining of front and back, and the pocket's side.
    assert sewn["side"].thickness == Fraction("3.5")


def test_a_hem_is_sewn_once_through_all_that_is_folded() -> None:
    sewn = sewn_in(thick_pouch())
    assert (sewn["hem front.top"].length, sewn["hem front.top"].passes) == (120, 1)
    assert sewn["hem front.top"].thickness == 3 * Fraction("1.25")
    assert sewn["hem pocket.bottom"].thickness == 2


@pytest.mark.parametrize(("kind", "passes"), [("plain", 1), ("topstitched", 2), ("lapped", 1), ("bound", 2)])
def test_topstitched_and_bound_seams_are_sewn_twice(kind: str, passes: int) -> None:
    assert sewn_in(band("500 mm", kind=kind))["top"].passes == passes


def bound_band(**seam: Any) -> Json:
    document = changed(band("500 mm", **seam), "pieces.strip.edges.top", {"finish": "bound"})
    document["findings"]["edge"] = {
        "binding": {"width": "40 mm", "along": ["one.top", "other.top"], "cut_on": "straight", "material": "main"}
    }
    return document


@pytest.mark.parametrize("kind", ["plain", "bound"])
def test_a_binding_is_sewn_on_and_sewn_down_besides_the_seam_that_it_binds(kind: str) -> None:
    sewn = sewn_in(bound_band(kind=kind))
    assert sewn["top"].passes == 1
    assert (sewn["binding edge"].length, sewn["binding edge"].passes) == (1000, 2)
    # Both strips, and the binding folded double on both sides.
    assert sewn["binding edge"].thickness == 2 * Fraction("0.5") + 4 * Fraction("0.5")


def test_foam_that_ends_inside_the_stitching_line_is_not_sewn_through() -> None:
    document = band("500 mm")
    document["materials"]["foam"] = {"kind": "foam", "thickness": "3 mm"}
    document["pieces"]["strip"]["layers"].append({"material": "foam"})
    assert sewn_in(document)["top"].thickness == 7
    document["pieces"]["strip"]["layers"][1]["inset"] = "2 mm"
    assert sewn_in(document)["top"].thickness == 1


def test_a_line_goes_through_all_layers_and_is_sewn_in_every_use() -> None:
    document = band("500 mm")
    document["materials"]["foam"] = {"kind": "foam", "thickness": "3 mm"}
    strip = document["pieces"]["strip"]
    strip["layers"].append({"material": "foam", "inset": "2 mm"})
    strip["lines"] = {
        "quilt": {"from": [0, -40], "to": ["length", -40], "kind": "quilting"},
        "mark": {"from": [0, -20], "to": ["length", -20], "kind": "placement"},
    }
    sewn = sewn_in(document)
    assert sewn["line one.quilt"].thickness == sewn["line other.quilt"].thickness == Fraction("3.5")
    assert not {"line one.mark", "line other.mark"} & set(sewn)


def test_a_caught_edge_that_no_seam_holds_is_sewn_by_itself() -> None:
    document = band("500 mm")
    document["pieces"]["patch"] = {
        "outline": {"rectangle": ["length", "40 mm"]},
        "edges": {"top": RAW, "bottom": RAW},
        "layers": [{"material": "main"}],
    }
    document["coverings"] = {
        "patch_on_one": {
            "piece": "patch",
            "over": "one",
            "caught": {"left": "left", "right": "right"},
            "clear": {"top": 10},
        }
    }
    sewn = sewn_in(document)
    assert sewn["caught patch_on_one.left"] == Sewn("caught patch_on_one.left", "301", Fraction(40), 1, Fraction(1))


def test_a_zip_is_sewn_through_its_tape() -> None:
    document = band("500 mm")
    document["dimensions"]["length"]["base"] = "180 mm"
    document["pieces"]["strip"]["edges"]["bottom"] = {}
    document["seams"]["set"] = {"join": ["one.bottom"], "to": ["zip.top"], "kind": "zip"}
    document["findings"]["zip"] = {"zip": {"length": "length", "exposed": "12 mm", "stock": "zips", "shortened": True}}
    assert sewn_in(document)["set"].thickness == Fraction("1.1")


@pytest.mark.parametrize(("cloth", "counted"), [({"thickness": "0.5 mm"}, "2.40"), ({}, "2.00")])
def test_thread_follows_the_thickness_and_what_is_not_known_counts_as_nothing(cloth: Json, counted: str) -> None:
    document = changed(band("254 mm"), "materials.main", cloth)
    supplies = supplied(document, {"stitches_per_inch": "5.08"})
    # 1 mm at 5.08 stitches an inch is 0.2 lengths through the cloth, twice.
    assert supplies["thread"][0]["ratio"] == counted
    named = [text for text in supplies["says"] if text.startswith("No thickness is known of main")]
    assert bool(named) == (not cloth)


def test_each_class_of_stitch_has_its_own_thread() -> None:
    document = changed(pouch(), "seams.side.stitch", "401")
    document = changed(document, "seams.bottom.stitch", "504")
    thread = {row["stitch"]: row for row in supplied(document)["thread"]}
    assert list(thread) == ["301", "401", "504"]
    assert thread["401"]["seams"] == ["side"]
    assert thread["401"]["ratio"] == "4.00"
    assert (thread["504"]["ratio"], thread["504"]["used"], thread["504"]["buy"]) == (None, None, None)
    known = supplied(document, {"ratios": {"504": 14}})
    row = next(row for row in known["thread"] if row["stitch"] == "504")
    assert read_length(row["used"]) == 1940  # 120 mm × 14 × 1.15 = 1932 mm, raised to a centimetre
    assert not [text for text in known["says"] if "not known" in text]
    assert [text for text in supplied(document)["says"] if "504, overedge" in text]


def test_reels_are_bought_whole() -> None:
    settings = {"ratios": {"301": 10}, "waste": "0 %", "reel": "5 m"}
    (exact,) = supplied(band("500 mm"), settings)["thread"]
    (more,) = supplied(band("510 mm"), settings)["thread"]
    assert (exact["buy"], more["buy"]["count"]) == ({"what": "reels of 5 m", "count": 1}, 2)


def test_coverings_that_lie_on_each_other_in_a_ring_are_counted_once() -> None:
    document = band("500 mm")
    document["coverings"] = {
        f"{piece}_on_{over}": {
            "piece": piece,
            "over": over,
            "face": "down",
            "caught": {"top": "top"},
            "clear": {"left": 0},
        }
        for piece, over in (("one", "other"), ("other", "one"))
    }
    assert sewn_in(document)["top"].thickness == 2 * 3 * Fraction("0.5")


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_seam_and_every_binding_of_a_demo_is_sewn_once(name: str, demo_documents: dict[str, Json]) -> None:
    grade = grade_size(read_document(demo_documents[name]), size="base")
    sewn = [each.name for each in all_sewn(layering(grade, Fraction(6, 10)))]
    assert len(set(sewn)) == len(sewn)
    assert set(grade.model.seams) <= set(sewn)
    bindings = {f"binding {name}" for name, found in grade.model.findings.items() if found.written.binding}
    assert bindings <= set(sewn)
