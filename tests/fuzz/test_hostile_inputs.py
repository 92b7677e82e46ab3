"""Whatever comes in is read or refused: by inputs that Hypothesis makes smaller, and by some that atheris finds.

`python -m tests.benchmarks fuzz` gives a million.
"""

from __future__ import annotations

import json
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.choices import Drawn, Found
from tests.fuzz.targets import TARGETS

ROOT = Path(__file__).parents[2]
MOST_GROWTH = 256 * 1024 * 1024
RUNS = {"expression": 4000, "document": 800, "verifier": 300, "body": 2000}
CASES = {"expression": 400, "document": 150, "verifier": 100, "body": 100}


@pytest.mark.parametrize("name", sorted(TARGETS))
def test_what_hypothesis_makes_is_read_or_refused(name: str) -> None:
    @settings(max_examples=CASES[name], suppress_health_check=list(HealthCheck))
    @given(st.data())
    def whatever(data: st.DataObject) -> None:
        TARGETS[name](Found(data))

    whatever()


@pytest.mark.parametrize("name", sorted(TARGETS))
def test_what_is_drawn_at_random_is_read_or_refused(name: str) -> None:
    @settings(max_examples=CASES[name], suppress_health_check=list(HealthCheck))
    @given(st.randoms(use_true_random=False))
    def whatever(generator: object) -> None:
        TARGETS[name](Drawn(generator))  # type: ignore[arg-type]

    whatever()


@pytest.mark.skipif(find_spec("atheris") is None, reason="atheris has wheels for Linux alone")
@pytest.mark.parametrize("name", sorted(TARGETS))
def test_what_a_fuzzer_finds_is_read_or_refused(name: str, tmp_path: Path) -> None:
    figures = tmp_path / "figures"
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzz.guided", name, str(RUNS[name]), str(figures)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    told = json.loads(figures.read_text())
    assert told["inputs"] >= RUNS[name]
    assert told["memory"] - told["before"] < MOST_GROWTH
