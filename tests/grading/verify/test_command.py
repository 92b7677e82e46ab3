"""The command: exit codes and words, run as makers run it, in a Python without any package."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.grading.verify import pouch
from tests.grading.verify.cloth import purse
from tests.grading.verify.judging.test_conflict import LOOP, PATTERN
from tests.grading.verify.judging.test_solution_map import MAP
from tests.grading.verify.supplies import bought

ROOT = Path(__file__).parents[3]
CLOSING = "Numbers checked; your cloth, quilting and sewing are not."


def run(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """Without site packages and without reading the environment, so that only the standard library is there."""
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); import runpy; sys.argv[0] = 'verify'; "
    code += "runpy.run_module('grading.verify', run_name='__main__', alter_sys=True)"
    command = [sys.executable, "-I", "-S", "-W", "error", "-c", code, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=ROOT)


def written(folder: Path, name: str, value: Any) -> Path:
    path = folder / name
    if isinstance(value, bytes):
        path.write_bytes(value)
    else:
        path.write_text(json.dumps(value))
    return path


@pytest.fixture
def pattern(tmp_path: Path) -> Path:
    return written(tmp_path, "pattern.json", pouch.pattern())


def test_a_sound_grade_is_confirmed_and_what_was_not_checked_is_said(pattern: Path, tmp_path: Path) -> None:
    done = run(pattern, written(tmp_path, "grade.json", pouch.grade("small")))
    assert (done.returncode, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert lines[-1] == CLOSING
    held, _, made, *rest = lines[-2].split()
    assert held == made and rest == ["claims", "hold."]
    assert "seam" in lines and "printed" in lines


def test_it_runs_as_a_module_from_the_folder_without_packages(pattern: Path, tmp_path: Path) -> None:
    grade = written(tmp_path, "grade.json", pouch.grade())
    command = [sys.executable, "-S", "-m", "grading.verify", str(pattern), str(grade), "--quiet"]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=ROOT)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[-1] == CLOSING


def test_a_wrong_number_is_told_again_at_the_end(pattern: Path, tmp_path: Path) -> None:
    grade = pouch.grade()
    grade["seams"]["front_round"]["to"] = "475 mm"
    path = written(tmp_path, "grade.json", grade)
    for options in ([], ["--quiet"]):
        done = run(pattern, path, *options)
        assert done.returncode == 1
        assert "seams.front_round.to says 475 mm; 474 mm follows from the dimensions" in done.stdout
        assert done.stdout.splitlines()[-1] == CLOSING


def test_the_verdict_can_be_had_as_json(pattern: Path, tmp_path: Path) -> None:
    done = run(pattern, written(tmp_path, "grade.json", pouch.grade()), "--json")
    assert json.loads(done.stdout)["holds"] is True


def test_measured_pieces_are_judged(pattern: Path, tmp_path: Path) -> None:
    pieces = {"band": {"top": {"stitched": 490}}, "front": {"left": {"stitched": 1}}}
    sides = {edge: {"stitched": 95} for edge in ("right", "bottom_right", "bottom", "bottom_left", "left")}
    measured = {"uncertainty": "1 mm", "pieces": pieces | {"front": sides}}
    done = run(pattern, written(tmp_path, "measured.json", measured), "--measured")
    assert done.returncode == 1
    assert "trim" in done.stdout and "back_round" in done.stdout
    assert done.stdout.splitlines()[-1] == CLOSING


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe\x00",
        b"{",
        b"[" * 100_000,
        b'{"a": ' * 50_000,
        b"[]",
        b"7",
        b'{"kind": "grade"}',
        b'{"kind": "grade", "size": {"name": null, "request": {"scale": NaN}}}',
        b'{"kind": "grade", "size": {"name": null, "request": {"scale": "1/0"}}}',
        b'{"kind": "grade", "size": {"name": null, "request": {"scale": "__import__(1)"}}}',
        b'{"kind": "grade", "kind": "grade"}',
        b'{"kind": "\\ud800"}',
        b"1" * 10_000,
    ],
    ids=range(14),
)
def test_hostile_files_are_unreadable_and_take_one_line(content: bytes, pattern: Path, tmp_path: Path) -> None:
    path = written(tmp_path, "hostile.json", content)
    for first, second in ((pattern, path), (path, pattern)):
        done = run(first, second)
        assert done.returncode == 2, done.stdout
        assert done.stdout == ""
        assert len(done.stderr.splitlines()) == 1
        assert "Traceback" not in done.stderr


def test_a_file_that_is_not_there_and_a_wrong_option_are_unreadable(pattern: Path, tmp_path: Path) -> None:
    for arguments in ((pattern, tmp_path / "none.json"), (pattern,), (pattern, pattern, "--loud"), (pattern, tmp_path)):
        done = run(*arguments)
        assert (done.returncode, done.stdout) == (2, "")
        assert len(done.stderr.splitlines()) == 1


def test_texts_of_a_grade_cannot_command_the_screen(pattern: Path, tmp_path: Path) -> None:
    grade = pouch.grade()
    grade["steps"][0] = "\x1b[2J\ud800"
    done = run(pattern, written(tmp_path, "grade.json", grade))
    assert done.returncode == 1
    assert "\x1b" not in done.stdout


def test_a_solution_map_is_judged(pattern: Path, tmp_path: Path) -> None:
    for width, code in (("1", 0), ("2", 1)):
        solution = {**MAP, "map": {**MAP["map"], "pocket_width": {"width": width}}}
        done = run(pattern, written(tmp_path, "map.json", solution), "--map")
        assert (done.returncode, done.stderr) == (code, "")
        assert ("Failing:" in done.stdout) == bool(code)
        assert done.stdout.splitlines()[-1] == CLOSING


def test_a_conflict_is_judged(tmp_path: Path) -> None:
    pattern = written(tmp_path, "pattern.json", PATTERN)
    for branches, code in ((LOOP["certificate"], 0), (LOOP["certificate"][1:], 1)):
        done = run(pattern, written(tmp_path, "conflict.json", {**LOOP, "certificate": branches}), "--conflict")
        assert (done.returncode, done.stderr) == (code, "")
        assert ("nothing is shown for tape 20 mm" in done.stdout) == bool(code)
        assert done.stdout.splitlines()[-1] == CLOSING


def test_each_kind_of_file_is_judged_as_what_it_is(pattern: Path, tmp_path: Path) -> None:
    grade, solution = written(tmp_path, "grade.json", pouch.grade()), written(tmp_path, "map.json", MAP)
    for second, option in ((grade, "--map"), (grade, "--conflict"), (solution, "--conflict"), (solution, "--quiet")):
        done = run(pattern, second, option)
        assert (done.returncode, done.stdout) == (2, "")
        assert len(done.stderr.splitlines()) == 1
    assert run(pattern, solution, "--map", "--conflict").returncode == 2


def test_layouts_are_judged_with_three_files(tmp_path: Path) -> None:
    pattern, grade = written(tmp_path, "p.json", purse.document()), written(tmp_path, "g.json", purse.grade())
    for length, code in (("220 mm", 0), ("219 mm", 1)):
        layouts = written(tmp_path, "l.json", purse.layouts(purse.layout(length=length)))
        done = run(pattern, grade, layouts, "--layouts")
        assert (done.returncode, done.stderr) == (code, "")
        assert ("cloths.main.length says 219 mm; 220 mm follows" in done.stdout) == bool(code)
        assert done.stdout.splitlines()[-1] == CLOSING


def test_supplies_are_judged_with_three_files_or_four(tmp_path: Path) -> None:
    pattern, grade = written(tmp_path, "p.json", bought.PATTERN), written(tmp_path, "g.json", bought.GRADE)
    supplies = written(tmp_path, "s.json", bought.paper())
    done = run("--supplies", pattern, grade, supplies)
    assert (done.returncode, done.stderr) == (0, "")
    layouts = written(tmp_path, "l.json", purse.layouts(of=bought.GRADE))
    done = run("--supplies", pattern, grade, supplies, layouts)
    assert (done.returncode, done.stderr) == (1, "")
    assert "there is no row for main" in done.stdout


def test_the_number_of_files_is_that_of_what_is_judged(pattern: Path, tmp_path: Path) -> None:
    grade = written(tmp_path, "grade.json", pouch.grade())
    for arguments in (
        (pattern, grade, grade),
        ("--layouts", pattern, grade),
        ("--layouts", pattern, grade, grade, grade),
        ("--supplies", pattern, grade),
        ("--supplies", pattern, grade, grade, grade, grade),
        ("--map", pattern, grade, grade),
        ("--layouts", pattern, grade, grade),
        ("--supplies", pattern, grade, grade),
    ):
        done = run(*arguments)
        assert (done.returncode, done.stdout) == (2, "")
        assert len(done.stderr.splitlines()) == 1
