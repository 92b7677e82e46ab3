"""One command for everything a change must pass: `python3 tests/run.py [arguments for pytest]`.

Makes `.venv` if it has to, installs what the tests need, then runs format, lint, types, import contracts and
all tests. Every step runs, also after one has failed; the exit code is 0 only when all of them pass. Pytest
comes last, so that its closing line is the last one.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from demo_requests import environment  # noqa: E402

PLACES = ("api", "grading", "tests", "demo_requests")
MODULE = [sys.executable, "-m"]
# Three at a time, since many wait for processes of their own; each begins with its own third, so that what a module
# sets up is mostly set up once.
PYTEST = [*MODULE, "pytest", "--numprocesses=3", "--dist=worksteal"]
CONTRACTS = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as check; check()"]


def steps() -> dict[str, list[str]]:
    """The steps before the tests: heading and command."""
    return {
        "format": [*MODULE, "ruff", "format", "--check", *PLACES],
        "lint": [*MODULE, "ruff", "check", *PLACES],
        "types": [*MODULE, "mypy"],
        "import contracts": CONTRACTS,
        "chromium for the browser tests": [*MODULE, "tests.chromium"],
        "postgresql for the storage tests": [*MODULE, "tests.postgresql"],
    }


def main(arguments: list[str]) -> int:
    """Runs every step and the tests; gives 0 when all pass, else 1 (or pytest's own code)."""
    environment.enter(environment.TESTS_LOCK, Path(__file__).resolve(), arguments)
    failed = [name for name, command in steps().items() if run(name, command)]
    if failed:
        print(f"\nFailed before the tests: {', '.join(failed)}.", flush=True)
    tests = run("tests", [*PYTEST, *arguments])
    return tests or (1 if failed else 0)


def run(name: str, command: list[str]) -> int:
    """Runs one step in the project's folder under a heading, and gives its exit code."""
    print(f"\n=== {name} ===", flush=True)
    started = time.monotonic()
    code = subprocess.run(command, cwd=ROOT, env=surroundings(), stdin=subprocess.DEVNULL, check=False).returncode
    if name != "tests":
        print(
            f"--- {name}: {'passed' if code == 0 else 'FAILED'}, {time.monotonic() - started:.1f} s",
            flush=True,
        )
    return code


def surroundings() -> dict[str, str]:
    """The environment variables of a step: without colours where nobody would see them."""
    variables = dict(os.environ)
    if not sys.stdout.isatty():
        variables.pop("FORCE_COLOR", None)
        variables |= {"NO_COLOR": "1", "PY_COLORS": "0"}
    return variables


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
