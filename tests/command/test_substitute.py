"""`sizewright substitute`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from api.command import main
from grading import verify
from tests.patterns import GONE, Json, changed, pouch

Output = pytest.CaptureFixture[str]
PLAIN: Json = {"add": "plain", "material": {"says": "calico", "usable_width": "1400 mm"}}


def written(tmp_path: Path, content: Json, name: str) -> str:
    path = tmp_path / f"{name}.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    return str(path)


@pytest.fixture
def pattern(tmp_path: Path) -> str:
    return written(tmp_path, pouch(), "pouch")


def asked(tmp_path: Path, *changes: Json) -> str:
    return written(tmp_path, {"changes": list(changes)}, "changes")


def test_a_split_is_told_and_its_document_can_be_graded_and_verified(
    tmp_path: Path, pattern: str, capsys: Output
) -> None:
    out, grade = tmp_path / "split.json", tmp_path / "grade.json"
    changes = asked(tmp_path, {"split": "panel", "at": "85 mm"})
    assert main(["substitute", pattern, changes, "--out", str(out), "--without-cloth"]) == 0
    told = capsys.readouterr().out
    assert told.splitlines()[:2] == ["Flat pouch:", "  panel split into panel top and panel bottom, 85 mm from the top"]
    assert "  piece panel: removed" in told.splitlines()
    assert "Cloth to buy" not in told
    assert main(["grade", str(out), "--size", "wide", "--output", str(grade)]) == 0
    assert verify.judge(json.loads(out.read_text()), json.loads(grade.read_text())).holds


def test_the_cloth_is_told_before_and_after(tmp_path: Path, pattern: str, capsys: Output) -> None:
    changes = asked(tmp_path, PLAIN, {"give": [{"piece": "panel"}, {"piece": "pocket"}], "material": "plain"})
    assert main(["substitute", pattern, changes, "--size", "wide"]) == 0
    table = capsys.readouterr().out.split("Cloth to buy for the size wide:\n")[1].splitlines()
    rows = {line.split()[0]: line.split()[1:] for line in table[2:]}
    assert rows["main"][-1] == "mm" and "-" in rows["main"]
    assert rows["plain"][0] == "-"


def test_a_substitution_as_json(tmp_path: Path, pattern: str, capsys: Output) -> None:
    changes = asked(tmp_path, {"toile": "lining"})
    assert main(["substitute", pattern, changes, "--json", "--without-cloth"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["changes"] == ["a toile: every cloth is lining, without linings, foam and interfacing"]
    assert told["document"]["pieces"]["panel"]["layers"] == [{"material": "lining"}]


def test_a_change_that_cannot_be_made_is_refused_with_a_remedy(tmp_path: Path, pattern: str, capsys: Output) -> None:
    assert main(["substitute", pattern, asked(tmp_path, {"split": "panel", "at": "60 mm"})]) == 1
    told = capsys.readouterr().err
    assert "The list of changes has 1 fault:" in told
    assert "changes.0.at: pocket_on_front lies across the split" in told
    assert "remedy: split panel at or before 30 mm" in told


def test_a_size_that_is_not_there_is_refused(tmp_path: Path, pattern: str, capsys: Output) -> None:
    assert main(["substitute", pattern, asked(tmp_path, PLAIN), "--size", "tiny"]) == 1
    assert "no size is named 'tiny'" in capsys.readouterr().err


def test_a_file_without_changes_cannot_be_read(tmp_path: Path, pattern: str, capsys: Output) -> None:
    assert main(["substitute", pattern, written(tmp_path, {"change": []}, "none")]) == 2
    assert 'has no "changes"' in capsys.readouterr().err


def test_a_piece_that_did_not_fit_before_has_its_cloth_told_after(tmp_path: Path, capsys: Output) -> None:
    document = changed(pouch(), "materials.main.usable_width", "105 mm")
    document = changed(document, "dimensions.width", {"base": 112, "sizing": "fixed"})
    for path in ("coverings", "contents", "steps", "sizes", "pieces.pocket", "pieces.panel.lines"):
        document = changed(document, path, GONE)
    for name in ("pocket_width", "pocket_height"):
        document = changed(document, f"dimensions.{name}", GONE)
    changes = asked(tmp_path, {"split": "panel", "at": "width/4", "from": "left"})
    assert main(["substitute", written(tmp_path, document, "narrow"), changes]) == 0
    told = capsys.readouterr().out
    assert "cannot be made before" in told
    (row,) = (line.split() for line in told.splitlines() if line.startswith("main  "))
    assert row[1] == row[-1] == "-"
