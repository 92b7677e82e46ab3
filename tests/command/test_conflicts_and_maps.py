"""Conflicts in words with what would do, and maps, as a person at the command line reads them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from api.command import main
from grading import verify
from tests.grading.answer.bags import sleeve
from tests.patterns import changed


@pytest.fixture
def pattern(tmp_path: Path) -> str:
    path = tmp_path / "pouch.json"
    path.write_text(json.dumps(changed(sleeve(), "dimensions.height.limits", [60, 150])), encoding="utf-8")
    return str(path)


def test_conflict_is_told_with_numbers_and_remedies(pattern: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grade", pattern, "--set", "width=90mm"]) == 1
    told = capsys.readouterr().err
    assert "  width is 90 mm (request.set.width)\n    because: you asked for it" in told
    assert "it is to be 90 mm, and it cannot be less than 100 mm" in told
    remedies = told.partition("What would do, the nearest first:\n")[2]
    assert "  ask for width of 100 mm in place of 90 mm\n" in remedies


def test_second_contradiction_is_told_after_the_first(pattern: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grade", pattern, "--set", "width=230mm", "--set", "height=170mm"]) == 1
    told = capsys.readouterr().err
    assert "These cannot all hold together either (set 2):" in told
    assert told.endswith("  ask for width of 200 mm in place of 230 mm and height of 150 mm in place of 170 mm\n")


def test_conflict_as_json_can_be_verified(pattern: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grade", pattern, "--set", "width=90mm", "--json"]) == 1
    written = json.loads(capsys.readouterr().out)
    document = json.loads(Path(pattern).read_text(encoding="utf-8"))
    assert verify.judge_conflict(document, written).holds


def test_map_is_a_table_of_sums(pattern: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", pattern]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "Flat pouch, in every size, on a ruler of 1 mm"
    assert lines[2] == "Free: width, height, pocket height, zip length, strap"
    assert lines[-1].split() == ["pocket", "width", "width"]


def test_sums_are_written_as_a_person_would(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    document = changed(sleeve(), "dimensions.ring", {"base": 500, "sizing": "decided"})
    document = changed(
        document, "rules.ring", {"holds": "ring == 2*pi*strap - width/2 - 15", "because": "it goes round"}
    )
    document = changed(document, "dimensions.band", {"base": 20, "sizing": "decided"})
    document = changed(document, "rules.band", {"holds": "band == 20", "because": "it is sold so"})
    path = tmp_path / "ring.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    assert main(["map", str(path)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    # By hand: two pi is 6.28319.
    assert "ring 6.28319 × strap - 0.5 × width - 15" in told
    assert told.endswith("band 20")


def test_map_as_json_can_be_verified(pattern: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", pattern, "--ruler", "1/8 in", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["ruler"] == "1/8 in"
    document = json.loads(Path(pattern).read_text(encoding="utf-8"))
    assert verify.judge_map(document, found).holds


def test_option_that_there_is_not_is_a_fault(pattern: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", pattern, "--option", "pocket=without"]) == 1
    assert "no option is named 'pocket'" in capsys.readouterr().err
