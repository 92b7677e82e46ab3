"""The commands on a demo pattern, as a person uses them."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from api.command import main

ROOT = Path(__file__).resolve().parents[2]
PATTERN = ROOT / "demo_requests" / "patterns" / "market_tote.json"


def pattern() -> Any:
    return json.loads(PATTERN.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def grade_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("grade") / "mini.json"
    assert main(["grade", str(PATTERN), "--size", "mini", "--output", str(path)]) == 0
    return path


def test_a_sound_pattern_has_no_faults_and_its_parts_are_counted(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(PATTERN)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == f"{pattern()['name']}: no faults."
    assert ["pieces", str(len(pattern()["pieces"]))] in [line.split() for line in lines]


def test_a_sound_pattern_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--json", str(PATTERN)]) == 0
    content = json.loads(capsys.readouterr().out)
    assert content["faults"] == []
    assert content["counts"]["seams"] == len(pattern()["seams"])


def remarked(tmp_path: Path) -> str:
    """A file of the pattern with a stock list that nothing uses: sound, and worth a look."""
    content = pattern()
    content["stock"] = {**content.get("stock", {}), "spare_parts": ["10 mm"]}
    path = tmp_path / "remarked.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    return str(path)


def test_what_is_worth_a_look_is_told_of_a_sound_pattern(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", remarked(tmp_path)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].endswith("no faults.")
    assert lines[lines.index("Worth a look:") + 1].startswith("  stock.spare_parts: ")
    assert main(["check", "--json", remarked(tmp_path)]) == 0
    assert [each["path"] for each in json.loads(capsys.readouterr().out)["remarks"]] == ["stock.spare_parts"]


def test_an_unsound_pattern_is_refused_with_its_faults(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    broken = pattern()
    name = next(iter(broken["seams"]))
    broken["seams"][name]["join"] = ["nowhere.top"]
    path = tmp_path / "broken.json"
    path.write_text(json.dumps(broken), encoding="utf-8")
    assert main(["check", str(path)]) == 1
    assert f"seams.{name}.join" in capsys.readouterr().err


def test_the_cut_list_is_printed_for_the_size_asked_for(grade_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grade", str(PATTERN), "--size", "mini"]) == 0
    told = capsys.readouterr().out
    grade = json.loads(grade_file.read_text(encoding="utf-8"))
    assert told.splitlines()[0] == f"{pattern()['name']}, mini, on a ruler of {grade['ruler']}"
    for row in grade["cut_list"]:
        words = (row["letter"], row["across"], row["along"])
        assert any(all(word in line for word in words) for line in told.splitlines())
    for finding in grade["findings"]:
        assert finding["name"].replace("_", " ") in told


def test_json_and_file_hold_the_same_grade(grade_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grade", str(PATTERN), "--size", "mini", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(grade_file.read_text(encoding="utf-8"))


def test_another_ruler_gives_measures_on_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grade", str(PATTERN), "--size", "mini", "--ruler", "1/8 in", "--json"]) == 0
    grade = json.loads(capsys.readouterr().out)
    assert grade["ruler"] == "1/8 in"
    assert all(row["across"].endswith(" in") for row in grade["cut_list"] if row["kind"] == "measures")


def test_a_grade_is_verified_against_its_pattern(grade_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(PATTERN), str(grade_file)]) == 0
    assert "claims hold" in capsys.readouterr().out


def test_a_changed_grade_fails_with_code_1(
    grade_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    grade = json.loads(grade_file.read_text(encoding="utf-8"))
    grade["cut_list"][0]["across"] = "1 mm"
    changed = tmp_path / "changed.json"
    changed.write_text(json.dumps(grade), encoding="utf-8")
    assert main(["verify", str(PATTERN), str(changed)]) == 1
    assert main(["verify", "--json", str(PATTERN), str(changed)]) == 1
    assert "1 mm" in capsys.readouterr().out


def test_what_is_no_grade_cannot_be_verified(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(PATTERN), str(PATTERN)]) == 2
    assert "cannot be judged" in capsys.readouterr().err


def test_a_pattern_may_come_through_a_pipe_and_a_reader_may_leave_early() -> None:
    command = [sys.executable, "-m", "api.command", "check", "-"]
    run = subprocess.run(command, cwd=ROOT, input=PATTERN.read_bytes(), capture_output=True, check=False)
    assert (run.returncode, run.stderr) == (0, b"")
    with subprocess.Popen(
        [*command[:-1], str(PATTERN)], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 0
