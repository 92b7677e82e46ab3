"""Settings of supplies and bulk: what is usual, what is refused, and that they are written as they are used."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import RequestFaults
from grading.exact import read_ruler
from grading.supplies import read_supply_settings, usual_settings
from tests.grading.supplies.bags import band, bulky, supplied

METRIC, INCHES = read_ruler("1 mm"), read_ruler("1/8 in")


def test_what_is_left_out_is_as_usual_in_the_system_of_the_ruler() -> None:
    assert read_supply_settings(None, METRIC) == read_supply_settings({}, METRIC) == usual_settings(METRIC)
    assert supplied(band("500 mm"))["settings"] == {
        "waste": "15 %",
        "stitches_per_inch": "10",
        "reel": "100 m",
        "unit": "10 cm",
        "corner": "25 mm",
        "tape": "0.6 mm",
        "ratios": {},
    }
    settings = supplied(band("20 in", ruler="1/8 in"))["settings"]
    assert (settings["unit"], settings["corner"], settings["reel"]) == ("1/8 yd", "1 in", "100 m")
    assert bulky(band("500 mm"))["settings"] == {"lift": "6 mm", "pressed": "apart", "tape": "0.6 mm"}


@pytest.mark.parametrize("ruler", ["1 mm", "1/8 in"])
def test_settings_are_written_so_that_they_can_be_used_again(ruler: str) -> None:
    asked = {
        "waste": "12.5 %",
        "stitches_per_inch": "17/2",
        "reel": "110 yd",
        "unit": "1/4 yd",
        "corner": "3/4 in",
        "tape": "0.55 mm",
        "ratios": {"504": "14", "401": "27/5"},
    }
    supplies = supplied(band("20 in", ruler=ruler), asked)
    again = supplied(band("20 in", ruler=ruler), supplies["settings"])
    assert again == supplies


@pytest.mark.parametrize(
    ("settings", "path"),
    [
        ({"waste": "15"}, "settings.waste"),
        ({"waste": "-1 %"}, "settings.waste"),
        ({"waste": "501 %"}, "settings.waste"),
        ({"stitches_per_inch": 0}, "settings.stitches_per_inch"),
        ({"stitches_per_inch": "many"}, "settings.stitches_per_inch"),
        ({"reel": "0 m"}, "settings.reel"),
        ({"reel": -100}, "settings.reel"),
        ({"unit": "a yard"}, "settings.unit"),
        ({"corner": "-1 mm"}, "settings.corner"),
        ({"tape": "-0.1 mm"}, "settings.tape"),
        ({"ratios": {"301": 0}}, "settings.ratios.301"),
        ({"ratios": {"301": 101}}, "settings.ratios.301"),
        ({"ratios": {"lock": 2}}, "settings.ratios"),
        ({"lift": 0}, "settings.lift"),
        ({"pressed": "up"}, "settings.pressed"),
        ({"colour": "red"}, "settings.colour"),
    ],
)
def test_settings_that_cannot_be_are_refused_with_their_place(settings: dict[str, Any], path: str) -> None:
    with pytest.raises(RequestFaults) as caught:
        read_supply_settings(settings, METRIC)
    (fault,) = caught.value.faults
    assert fault.path.startswith(path)
    assert fault.remedy


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(RequestFaults) as caught:
        read_supply_settings({"waste": "x", "reel": 0, "lift": "y"}, INCHES)
    assert sorted(fault.path for fault in caught.value.faults) == ["settings.lift", "settings.reel", "settings.waste"]


def test_a_bare_number_is_in_the_unit_of_the_document() -> None:
    assert (
        read_supply_settings({"lift": "1/4 in"}, INCHES, "in").lift
        == read_supply_settings({"lift": 0.25}, INCHES, "in").lift
    )
