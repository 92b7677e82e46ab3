"""The project's own Python environment, `.venv`: made, filled from a pinned lock, and entered.

Runs before anything is installed, so it uses the standard library only.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
import time
import venv
from pathlib import Path
from typing import NoReturn

OLDEST_PYTHON = (3, 11)
if sys.version_info[:2] < OLDEST_PYTHON:
    # Here, before any other part of the demo is read: older Pythons may not even be able to read it.
    sys.exit(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]} ({sys.executable}).")

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
DEMO_LOCK = ROOT / "demo_requests" / "requirements.lock"
TESTS_LOCK = ROOT / "tests" / "requirements.lock"
STAMP = "installed-locks.json"
QUIET_EVERY = 10

PINNED = re.compile(r"^([A-Za-z0-9][A-Za-z0-9._-]*)==[^\s;]+", re.MULTILINE)
STEP = re.compile(r"^(?:Collecting|Requirement already satisfied:) ([A-Za-z0-9][A-Za-z0-9._-]*)")
LOCAL_STEP = re.compile(r"^Processing .*?([A-Za-z0-9._]+)-[^/\\]*$")


class InstallationError(Exception):
    """The environment could not be made; the text says what to do about it."""


def enter(lock: Path, script: Path, arguments: list[str]) -> None:
    """Makes sure `.venv` holds what `lock` pins, and goes on inside it.

    Returns only in a process that already runs inside `.venv`; otherwise the script is started again there.
    """
    try:
        ensure(lock)
    except InstallationError as failure:
        sys.exit(str(failure))
    if not is_inside(ENVIRONMENT):
        restart([str(python_of(ENVIRONMENT)), str(script), *arguments])


def ensure(lock: Path, environment: Path = ENVIRONMENT) -> None:
    """Makes the environment if it is missing, too old or broken, and installs `lock` if it is not in yet."""
    if not is_usable(environment):
        if is_inside(environment):
            raise InstallationError(f"{environment} is broken: remove it and start again from outside of it.")
        make(environment)
    if not is_installed(lock, environment):
        install(lock, environment)
        remember(lock, environment)


def python_of(environment: Path) -> Path:
    """Where the environment's interpreter lies on this system."""
    folder, name = ("Scripts", "python.exe") if os.name == "nt" else ("bin", "python")
    return environment / folder / name


def is_inside(environment: Path) -> bool:
    """Whether this very process runs in the environment."""
    return Path(sys.prefix).resolve() == environment.resolve()


def is_usable(environment: Path) -> bool:
    """Whether the environment's interpreter starts, is new enough and has pip."""
    probe = f"import sys, pip; sys.exit(sys.version_info[:2] < {OLDEST_PYTHON})"
    try:
        run = subprocess.run([python_of(environment), "-I", "-c", probe], capture_output=True, check=False)
    except OSError:
        return False
    return run.returncode == 0


def make(environment: Path) -> None:
    """Makes an empty environment with pip, in the place of whatever was there."""
    print(f"Making {environment} with Python {sys.version.split()[0]} ...", flush=True)
    try:
        venv.EnvBuilder(with_pip=True, clear=True, symlinks=os.name != "nt").create(environment)
    except (OSError, subprocess.CalledProcessError) as error:
        raise InstallationError(
            f"Python could not make the environment {environment}: {error}\n"
            "On Debian and Ubuntu its part for environments is a package of its own: python3-venv."
        ) from error


def is_installed(lock: Path, environment: Path) -> bool:
    """Whether the environment was last filled from this lock, or from one that holds all of it."""
    return _digest(lock) in _stamp(environment).get("holds", [])


def remember(lock: Path, environment: Path) -> None:
    """Notes which locks the environment now holds: this one, and each whose pins are all among its own."""
    pins = _pins(lock)
    held = [other for other in (DEMO_LOCK, TESTS_LOCK) if other.exists() and _pins(other) <= pins]
    digests = sorted({_digest(each) for each in [lock, *held]})
    (environment / STAMP).write_text(json.dumps({"holds": digests}, indent=1) + "\n", encoding="utf-8")


def install(lock: Path, environment: Path) -> None:
    """Installs exactly what the lock pins, each file checked against its hash, showing how far it is."""
    command = [
        str(python_of(environment)),
        "-m",
        "pip",
        "install",
        "--require-hashes",
        "--requirement",
        str(lock),
    ]
    command += ["--no-input", "--no-color", "--progress-bar", "off", "--disable-pip-version-check"]
    (environment / STAMP).unlink(missing_ok=True)
    started = time.monotonic()
    progress = Progress(len(PINNED.findall(lock.read_text(encoding="utf-8"))))
    output = []
    with subprocess.Popen(
        command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        for line in process.stdout or ():
            output.append(line)
            progress.read(line)
    progress.close()
    if process.returncode:
        tail = "".join(output[-15:])
        raise InstallationError(f"{tail}\nThe packages of {lock} could not be installed; pip's last lines are above.")
    print(f"Installed in {time.monotonic() - started:.0f} s.", flush=True)


class Progress:
    """How far pip is: one changing line on a terminal, a line for every tenth package elsewhere."""

    def __init__(self, total: int) -> None:
        self.total = total
        self.seen: set[str] = set()
        self.live = sys.stdout.isatty()
        print("Installing packages; the first time this takes a minute or more.", flush=True)

    def read(self, line: str) -> None:
        """Takes one line of pip's output."""
        line = line.partition(" (from ")[0].rstrip()
        step = STEP.match(line) or LOCAL_STEP.match(line)
        if line.startswith("Ignoring "):
            self.total -= 1  # a pin for another system or Python
        elif line.startswith("Installing collected packages"):
            self._show(f"{len(self.seen)} packages ready, putting them in place ...", always=True)
        elif step and step.group(1) not in self.seen:
            self.seen.add(step.group(1))
            self._show(f"{len(self.seen)} of {self.total}: {step.group(1)}")

    def close(self) -> None:
        """Leaves the cursor on a line of its own."""
        if self.live:
            print(flush=True)

    def _show(self, text: str, always: bool = False) -> None:
        if self.live:
            print(f"\r  {text:<70.70}", end="", flush=True)
        elif always or len(self.seen) % QUIET_EVERY == 0:
            print(f"  {text}", flush=True)


def restart(command: list[str]) -> NoReturn:
    """Goes on as another program, in the place of this one."""
    sys.stdout.flush()
    if os.name == "nt":
        # There, exec gives the prompt back while the new program still runs.
        sys.exit(subprocess.run(command, check=False).returncode)
    os.execv(command[0], command)


def _digest(lock: Path) -> str:
    return hashlib.sha256(lock.read_bytes()).hexdigest()


def _pins(lock: Path) -> set[str]:
    # Without the conditions behind a pin: the tests may need a package in more cases than the demo does.
    return {pin.group() for pin in PINNED.finditer(lock.read_text(encoding="utf-8"))}


def _stamp(environment: Path) -> dict[str, list[str]]:
    try:
        stamp = json.loads((environment / STAMP).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return stamp if isinstance(stamp, dict) else {}
