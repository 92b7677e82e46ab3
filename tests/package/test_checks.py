"""The one command for everything a change must pass: each step runs, and one failure is enough to fail."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from demo_requests import environment
from tests import run as checks

ROOT = Path(__file__).resolve().parents[2]


def ending(code: int) -> list[str]:
    return [sys.executable, "-c", f"print('step {code}'); raise SystemExit({code})"]


@pytest.fixture
def inside(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the environment were made and entered already."""
    monkeypatch.setattr(environment, "enter", lambda *_: None)


def test_format_lint_types_and_contracts_are_checked_in_this_order() -> None:
    commands = [" ".join(command) for command in checks.steps().values()]
    checked = ("ruff format --check", "ruff check", "mypy", "importlinter")
    fetched = ("tests.chromium", "tests.postgresql")
    for command, words in zip(commands, (*checked, *fetched), strict=True):
        assert words in command


@pytest.mark.parametrize(("codes", "tests", "wanted"), [((0, 0), 0, 0), ((3, 0), 0, 1), ((0, 0), 5, 5), ((1, 1), 1, 1)])
@pytest.mark.usefixtures("inside")
def test_every_step_runs_and_one_failure_fails(
    monkeypatch: pytest.MonkeyPatch, codes: tuple[int, ...], tests: int, wanted: int
) -> None:
    ran = []

    def step(name: str, command: list[str]) -> int:
        ran.append(name)
        return int(command[0])

    monkeypatch.setattr(checks, "run", step)
    monkeypatch.setattr(checks, "steps", lambda: {str(at): [str(code)] for at, code in enumerate(codes)})
    monkeypatch.setattr(checks, "PYTEST", [str(tests)])
    assert checks.main([]) == wanted
    assert ran == ["0", "1", "tests"]


def test_a_step_stands_under_its_heading_and_gives_its_code(capfd: pytest.CaptureFixture[str]) -> None:
    assert checks.run("types", ending(3)) == 3
    lines = capfd.readouterr().out.split("\n")
    assert lines[1:3] == ["=== types ===", "step 3"]
    assert lines[3].startswith("--- types: FAILED")


def test_nothing_is_said_after_the_closing_line_of_the_tests(capfd: pytest.CaptureFixture[str]) -> None:
    checks.run("tests", ending(0))
    assert capfd.readouterr().out.endswith("step 0\n")


def test_the_runner_of_the_repository_calls_exactly_this() -> None:
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "#!/usr/bin/env bash"
    assert lines[-1] == "exec python3 tests/run.py"
    assert (ROOT / ".ci" / "run").stat().st_mode & 0o111
