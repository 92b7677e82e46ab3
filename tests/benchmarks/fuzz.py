"""A million inputs by atheris to the parsers of expressions, the readers of documents and bodies, and the verifier.

`failures` counts targets that answered an input as none may be answered, or not within a minute; `longest_s` is the
longest processor time of one input, `memory_mb` the most that a process held, `grown_mb` what of it came by inputs.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from tests.benchmarks import demo

RUNS = {"expression": 600_000, "document": 200_000, "verifier": 80_000, "body": 120_000}
QUICK = 500
MEBIBYTE = 1024 * 1024


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run each target in a process of its own, one after the other."""
    figures = {name: _guided(name, QUICK if quick else runs) for name, runs in RUNS.items()}
    return {
        "inputs": sum(each["inputs"] for each in figures.values()),
        "failures": sum(each["code"] != 0 for each in figures.values()),
        "longest_s": {name: round(each["longest"], 3) for name, each in figures.items()},
        "memory_mb": {name: round(each["memory"] / MEBIBYTE) for name, each in figures.items()},
        "grown_mb": {name: round((each["memory"] - each["before"]) / MEBIBYTE) for name, each in figures.items()},
    }


def _guided(name: str, runs: int) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as folder:
        told = Path(folder) / "figures"
        command = [sys.executable, "-m", "tests.fuzz.guided", name, str(runs), str(told)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode:
            demo.note(done.stderr[-3000:])
        figures: dict[str, Any] = {"inputs": 0, "longest": 0.0, "memory": 0, "before": 0}
        if told.exists():
            figures |= json.loads(told.read_text())
    demo.note(f"{name}: {figures}")
    return figures | {"code": done.returncode}
