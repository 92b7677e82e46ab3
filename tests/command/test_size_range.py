"""`sizewright range`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from api.command import main

TOTE = str(Path(__file__).resolve().parents[2] / "demo_requests" / "patterns" / "market_tote.json")


def test_a_proven_range_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["range", TOTE, "--choose", "width=300mm..420mm", "--choose", "height=330mm..450mm"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Every size can be made: width 300 mm to 420 mm, height 330 mm to 450 mm; the")


def test_a_range_beyond_the_limits_names_the_rule_a_size_and_what_is_proven(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["range", TOTE, "--choose", "width=300mm..600mm"]) == 1
    told = capsys.readouterr().out
    assert "width is at most 520 mm" in told
    assert "This one cannot be made: width 600 mm." in told
    assert "Proven is: width 300 mm to 520 mm." in told


@pytest.mark.parametrize("choose", ["width=300mm", "width=500mm..300mm", "nowhere=1mm..2mm", "pocket_width=1mm..2mm"])
def test_a_range_that_is_none_is_refused(capsys: pytest.CaptureFixture[str], choose: str) -> None:
    assert main(["range", TOTE, "--choose", choose]) == 1
    assert choose.split("=", maxsplit=1)[0] in capsys.readouterr().err


def test_without_ends_the_order_form_of_the_pattern_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["range", TOTE, "--option", "sleeve=without", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    form = json.loads(Path(TOTE).read_text(encoding="utf-8"))["order"]
    assert told["proven"]
    assert (told["box"], told["others"]) == (form["choose"], form["others"])


def test_what_the_others_do_makes_a_difference(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["range", TOTE, "--choose", "height=310..560", "--others", "at-base"]) == 0
    assert main(["range", TOTE, "--choose", "height=310..560", "--others", "in-proportion"]) == 1
    told = capsys.readouterr().out
    assert "the other dimensions in proportion" in told
    assert "    because: " in told


def test_an_end_given_twice_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["range", TOTE, "--choose", "width=300..400", "--choose", "width=300..410"]) == 1
    assert "it is given more than once" in capsys.readouterr().err
