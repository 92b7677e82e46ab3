"""Needles and cautions: what is said beside a list of supplies."""

from __future__ import annotations

from typing import Any

import pytest

from tests.conftest import DEMO_NAMES
from tests.grading.supplies.bags import band, supplied, with_findings

Json = dict[str, Any]


@pytest.mark.parametrize(
    ("thickness", "needle"), [("0.5 mm", "80/12"), ("0.6 mm", "90/14"), ("2 mm", "100/16"), ("3 mm", "110/18")]
)
def test_thicker_seams_ask_for_a_thicker_needle(thickness: str, needle: str) -> None:
    (advice,) = supplied(band("500 mm", thickness=thickness))["needles"]
    assert advice.startswith(f"Needle {needle} ")


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_advice_on_needles_says_that_it_has_no_source(name: str, demo_documents: dict[str, Json]) -> None:
    needles = supplied(demo_documents[name])["needles"]
    assert needles
    assert all(text.endswith("(common practice, no source)") for text in needles)


def test_elastic_and_film_ask_for_care(demo_documents: dict[str, Json]) -> None:
    told = " ".join(supplied(demo_documents["allotment_tool_roll"])["needles"])
    assert "Through elastic" in told
    assert "Through film" in told
    # The tote's film is a loose sheet that is not sewn.
    assert "Through board" not in " ".join(supplied(demo_documents["market_tote"])["needles"])


@pytest.mark.parametrize(
    ("finding", "caution"),
    [
        ({"hardware": {"what": "swivel hook"}}, "load rating is the hardware maker's"),
        ({"hardware": {"what": "press stud"}}, "Small parts can be swallowed"),
        ({"hardware": {"what": "cotton cord, 600 mm"}}, "can catch round a neck"),
        ({"hardware": {"what": "magnet clasp"}}, "Magnets are dangerous"),
    ],
)
def test_what_needs_a_caution_has_it(finding: Json, caution: str) -> None:
    told = [text for text in supplied(with_findings({"thing": finding}))["says"] if caution in text]
    assert len(told) == 1


def test_a_strap_that_is_sewn_of_cloth_has_its_caution_too() -> None:
    document = band("500 mm")
    assert not [text for text in supplied(document)["says"] if "load rating" in text]
    document["pieces"]["strip"]["uses"] = ["strap", {"name": "other", "mirrored": True}]
    document["seams"]["top"]["join"] = ["strap.top"]
    assert [text for text in supplied(document)["says"] if "load rating" in text]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_no_load_is_ever_stated(name: str, demo_documents: dict[str, Json]) -> None:
    said = " ".join(supplied(demo_documents[name])["says"])
    assert "load rating" in said
    assert " kg" not in said
    assert " lb" not in said
