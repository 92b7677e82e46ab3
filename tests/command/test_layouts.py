"""`sizewright layouts` on the demo."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from api.command import main

TOOL_ROLL = str(Path(__file__).resolve().parents[2] / "demo_requests" / "patterns" / "allotment_tool_roll.json")
QUICK = ["layouts", TOOL_ROLL, "--effort", "quick"]
Output = pytest.CaptureFixture[str]


def test_each_cloth_is_told_with_what_to_buy_and_where_each_piece_lies(capsys: Output) -> None:
    assert main(QUICK) == 0
    told = capsys.readouterr().out.splitlines()
    assert told[0] == "Allotment tool roll, base: cutting layouts, on a ruler of 1 mm"
    assert any(line.startswith("main, 1480 mm usable: waxed canvas") for line in told)
    assert sum("; buy " in line for line in told) >= 4
    assert sum(line.startswith("K  tie ") for line in told) == 2
    assert any("strips on the bias" in line for line in told)


def test_a_picture_is_written_where_it_is_wanted(tmp_path: Path, capsys: Output) -> None:
    picture = tmp_path / "roll.svg"
    assert main([*QUICK, "--size", "mini", "--svg", str(picture)]) == 0
    assert capsys.readouterr().out.rstrip().endswith(f"The picture is in {picture}")
    assert ElementTree.fromstring(picture.read_text(encoding="utf-8")).tag.endswith("svg")
    assert main([*QUICK, "--svg", str(tmp_path / "no" / "roll.svg")]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_json_and_comma_separated_values_tell_of_the_same_pieces(capsys: Output) -> None:
    assert main([*QUICK, "--json", "--style", "rotary", "--gap", "3mm"]) == 0
    layouts = json.loads(capsys.readouterr().out)
    assert (layouts["settings"]["style"], layouts["settings"]["gap"]) == ("rotary", "3 mm")
    assert main([*QUICK, "--csv", "--style", "rotary", "--gap", "3mm"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    places = [(piece["x"], piece["y"]) for layout in layouts["cloths"].values() for piece in layout["pieces"]]
    assert [(row["x"], row["y"]) for row in rows] == places


def test_in_hardly_any_time_every_cloth_has_a_layout_still(capsys: Output) -> None:
    assert main([*QUICK, "--seconds", "0.001", "--json"]) == 0
    layouts = json.loads(capsys.readouterr().out)["cloths"]
    assert all(layout["pieces"] for layout in layouts.values())
    assert all("hurried" in layout for layout in layouts.values() if "sheets" not in layout)


def test_what_cannot_be_laid_is_told(capsys: Output) -> None:
    assert main([*QUICK, "--gap", "2m"]) == 1
    told = capsys.readouterr().err
    assert told.startswith("The layout asked for has 1 fault:")
    assert "settings.gap" in told
    assert main([*QUICK, "--gap", "2m", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["faults"][0]["path"] == "settings.gap"
    for seconds in ("0", "-1", "nan", "soon", "1e9"):
        with pytest.raises(SystemExit) as ended:
            main([*QUICK, "--seconds", seconds])
        assert ended.value.code == 2
