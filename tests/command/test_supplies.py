"""`sizewright supplies` and `sizewright bulk` on small patterns and a demo."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from api.command import main
from tests.grading.supplies.test_costs import LAYOUTS, with_cloth

DAY_PACK = Path(__file__).resolve().parents[2] / "demo_requests" / "patterns" / "ferry_day_pack.json"
Output = pytest.CaptureFixture[str]


def written(tmp_path: Path, document: dict[str, Any], name: str = "pattern") -> str:
    path = tmp_path / f"{name}.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return str(path)


def test_the_supplies_of_a_demo_are_tables_with_advice(capsys: Output) -> None:
    assert main(["supplies", str(DAY_PACK)]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told[0] == "Ferry day pack, base: supplies, on a ruler of 1 mm"
    assert any(line.split() == ["1.7", "m", "webbing,", "25", "mm", "wide", *line.split()[6:]] for line in told)
    assert any(line.lstrip().startswith("1 ×  zip of 500 mm") for line in told)
    assert any(line.startswith("Needle 110/18") for line in told)
    assert any("load rating is the hardware maker's" in line for line in told)


def test_a_larger_size_needs_more(capsys: Output) -> None:
    bought = {}
    for size in ("mini", "large"):
        assert main(["supplies", str(DAY_PACK), "--size", size, "--json"]) == 0
        supplies = json.loads(capsys.readouterr().out)
        assert supplies["size"]["name"] == size
        bought[size] = next(row["buy"]["length"] for row in supplies["rows"] if row["name"] == "main_zip")
    assert bought == {"mini": "350 mm", "large": "600 mm"}


def test_settings_of_the_thread_are_given_on_the_command_line(tmp_path: Path, capsys: Output) -> None:
    path = written(tmp_path, with_cloth())
    assert main(["supplies", path, "--json", "--waste", "0 %", "--ratio", "301=10", "--reel", "2m"]) == 0
    supplies = json.loads(capsys.readouterr().out)
    (thread,) = supplies["thread"]
    assert (thread["used"], thread["buy"]["count"]) == ("5 m", 3)


def test_settings_that_cannot_be_are_refused(tmp_path: Path, capsys: Output) -> None:
    assert main(["supplies", written(tmp_path, with_cloth()), "--reel", "0m", "--stitches", "x"]) == 1
    told = capsys.readouterr().err
    assert "settings.reel" in told
    assert "settings.stitches_per_inch" in told
    assert main(["bulk", written(tmp_path, with_cloth()), "--lift", "0mm"]) == 1
    assert "settings.lift" in capsys.readouterr().err


def test_cloth_and_money_are_told_with_layouts(tmp_path: Path, capsys: Output) -> None:
    path, layouts = written(tmp_path, with_cloth()), written(tmp_path, LAYOUTS, "layouts")
    assert main(["supplies", path, "--layouts", layouts]) == 0
    told = capsys.readouterr().out
    assert "1.4 m  main (canvas)" in told
    assert "In all 31.11 EUR + 9.00 GBP, without board, chain slider, stud, which have no price" in told


def test_supplies_as_comma_separated_values(tmp_path: Path, capsys: Output) -> None:
    path = written(tmp_path, with_cloth())
    assert main(["supplies", path, "--csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert [row["name"] for row in rows][:2] == ["handle", "elastic"]
    with pytest.raises(SystemExit) as ended:
        main(["supplies", path, "--csv", "--json"])
    assert ended.value.code == 2


def test_the_bulk_of_a_demo_tells_what_is_too_thick_and_what_helps(capsys: Output) -> None:
    assert main(["bulk", str(DAY_PACK)]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Ferry day pack, base: bulk, for a machine that sews 6 mm")
    assert "What makes it thinner:" in told
    assert "places are thicker than the 6 mm that the machine sews." in told


def test_a_machine_that_lifts_more_has_nothing_to_thin(capsys: Output) -> None:
    assert main(["bulk", str(DAY_PACK), "--lift", "25mm", "--json"]) == 0
    bulk = json.loads(capsys.readouterr().out)
    assert all(place["over"] is None for place in bulk["places"])
    assert bulk["says"][0] == "Nothing is thicker than the 25 mm that the machine sews."
