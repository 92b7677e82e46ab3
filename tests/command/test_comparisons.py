"""`sizewright chart` and `sizewright difference`, and the answer below a grade, on small patterns and a demo."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from api.command import main
from tests.patterns import changed, pouch

DAY_PACK = Path(__file__).resolve().parents[2] / "demo_requests" / "patterns" / "ferry_day_pack.json"
Output = pytest.CaptureFixture[str]


def written(tmp_path: Path, document: dict[str, Any], name: str = "pattern") -> str:
    path = tmp_path / f"{name}.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return str(path)


def columns(told: str, measure: str) -> list[str]:
    line = next(line for line in told.splitlines() if line.startswith(measure))
    return [cell.strip() for cell in line.removeprefix(measure).split("  ") if cell.strip()]


def test_the_chart_of_a_demo_is_a_table_with_what_held_each_size_back(capsys: Output) -> None:
    assert main(["chart", str(DAY_PACK)]) == 0
    told = capsys.readouterr().out
    assert told.splitlines()[0] == "Ferry day pack, 3 sizes: calculated, not yet sewn"
    assert columns(told, "corner ") == ["55 mm", "40 mm", "69 mm"]
    assert columns(told, "zip, bought: main zip") == ["500 mm", "350 mm", "600 mm"]
    assert "mini: corner: 40 mm instead of 38.5 mm, since foam" in told


def test_a_size_that_cannot_be_made_is_told_below_the_chart(tmp_path: Path, capsys: Output) -> None:
    document = changed(pouch(), "dimensions.width.limits", [80, 140])
    assert main(["chart", written(tmp_path, document)]) == 1
    told = capsys.readouterr().out
    assert columns(told, "width") == ["120 mm"]
    assert "wide: cannot be made: these cannot all hold: " in told
    assert "width is at most 140 mm" in told


def test_the_chart_as_json_and_as_comma_separated_values(tmp_path: Path, capsys: Output) -> None:
    path = written(tmp_path, pouch())
    assert main(["chart", path, "--json"]) == 0
    chart = json.loads(capsys.readouterr().out)
    assert [size["name"] for size in chart["sizes"]] == ["base", "wide"]
    assert main(["chart", path, "--csv"]) == 0
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out)))
    assert ["dimension", "width", "finished width", "120 mm", "150 mm"] in rows


def test_json_and_csv_at_once_are_refused(tmp_path: Path, capsys: Output) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["chart", written(tmp_path, pouch()), "--json", "--csv"])
    assert ended.value.code == 2
    assert "--csv" in capsys.readouterr().err


def test_a_difference_tells_pieces_seams_and_steps(tmp_path: Path, capsys: Output) -> None:
    old = changed(pouch(), "edition", {"state": "published"})
    new = changed(changed(old, "coverings.pocket_on_front.clear.top", "35 mm"), "dimensions.width.base", 118)
    new = changed(new, "sizes.tall", {"set": {"height": "100 mm"}})
    assert main(["difference", written(tmp_path, old, "old"), written(tmp_path, new, "new")]) == 0
    told = capsys.readouterr().out
    assert told.splitlines()[0] == "Flat pouch: 2 of 2 sizes change; published and affected: base, wide"
    base = told.split("base:\n")[1].split("\n\n")[0].splitlines()
    assert "  dimension width, pocket width: 120 mm → 118 mm (-2 mm)" in base
    assert "  seam bottom" in base
    assert "    join side, to side: 120 mm → 118 mm (-2 mm)" in base
    step = base.index("  step 3")
    assert base[step + 1 : step + 3] == ["    - Tack it 30 mm below.", "    + Tack it 35 mm below."]
    assert "tall: new" in told


def test_a_difference_tells_what_is_new_gone_and_unchanged(tmp_path: Path, capsys: Output) -> None:
    flap = {"outline": {"rectangle": [60, 40]}, "layers": [{"material": "main"}]}
    old, new = written(tmp_path, pouch(), "old"), written(tmp_path, changed(pouch(), "pieces.flap", flap), "new")
    assert main(["difference", old, new]) == 0
    assert "  piece flap: added" in capsys.readouterr().out.splitlines()
    assert main(["difference", new, old]) == 0
    assert "  piece flap: removed" in capsys.readouterr().out.splitlines()
    assert main(["difference", old, old]) == 0
    assert "base:\n  no change" in capsys.readouterr().out


def test_a_difference_tells_a_size_that_cannot_be_made_any_more(tmp_path: Path, capsys: Output) -> None:
    old, narrow = pouch(), changed(pouch(), "dimensions.width.limits", [80, 140])
    assert main(["difference", written(tmp_path, old, "old"), written(tmp_path, narrow, "new")]) == 0
    assert "wide:\n  cannot be made after: these cannot all hold: " in capsys.readouterr().out


def test_a_difference_as_json(tmp_path: Path, capsys: Output) -> None:
    path = written(tmp_path, pouch())
    assert main(["difference", path, path, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["says"] == "0 of 2 sizes change"


def test_a_grade_says_below_its_tables_what_is_not_as_wished(capsys: Output) -> None:
    assert main(["grade", str(DAY_PACK), "--size", "mini"]) == 0
    told = capsys.readouterr().out.split("Not as wished:\n")[1].splitlines()
    assert told[0].startswith("  corner: 40 mm instead of 38.5 mm, since foam")
    assert told[1] == "  moved only to lie on the ruler: base_length 300 mm"


def test_a_grade_that_is_as_wished_says_nothing_more(tmp_path: Path, capsys: Output) -> None:
    assert main(["grade", written(tmp_path, pouch()), "--size", "base"]) == 0
    assert "Not as wished" not in capsys.readouterr().out
