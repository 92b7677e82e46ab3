"""The wheel, installed into an environment of its own, holds all that is needed and gives its command."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PATTERN = ROOT / "demo_requests" / "patterns" / "market_tote.json"
FOLDERS = ("api", "grading")
LEFT_OUT = ("__pycache__", ".pyc", ".db")


def run(*command: str | Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """Runs a command far from the project's folder, so that nothing is imported from there by chance."""
    surroundings = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return subprocess.run(
        command, cwd=folder, env=surroundings, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
    )


def project_files() -> set[str]:
    """Every file under the packages, as it lies in the project."""
    found = (path for folder in FOLDERS for path in (ROOT / folder).rglob("*") if path.is_file())
    return {path.relative_to(ROOT).as_posix() for path in found if not any(part in str(path) for part in LEFT_OUT)}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    build = run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, folder=ROOT)
    assert build.returncode == 0, build.stderr
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def interpreter(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The interpreter of an environment that holds the wheel, and borrows what it depends on from this one."""
    folder = tmp_path_factory.mktemp("installed") / "environment"
    venv.EnvBuilder(symlinks=os.name != "nt").create(folder)
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    installed = run(
        *(sys.executable, "-m", "pip", "--python", python, "install", "--no-deps", "--no-index", "--quiet", wheel),
        folder=folder,
    )
    assert installed.returncode == 0, installed.stderr
    site = run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", folder=folder).stdout.strip()
    (Path(site) / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return python


def sizewright(interpreter: Path) -> Path:
    """The command as it was installed."""
    return interpreter.with_name("sizewright.exe" if os.name == "nt" else "sizewright")


def test_the_wheel_holds_every_file_of_the_packages_and_no_others(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    assert {name for name in names if ".dist-info/" not in name} == project_files()


@pytest.mark.parametrize(
    "ending",
    ["grading/README.md", "grading/py.typed", "api/py.typed", "LICENSE", ".css", "api/storage/migrations/versions/"],
)
def test_the_wheel_holds_what_is_not_code_too(wheel: Path, ending: str) -> None:
    assert any(ending in name for name in zipfile.ZipFile(wheel).namelist())


def test_the_command_explains_itself_and_its_exit_codes(interpreter: Path, tmp_path: Path) -> None:
    told = run(sizewright(interpreter), "--help", folder=tmp_path)
    assert told.returncode == 0, told.stderr
    for word in ("serve", "check", "grade", "verify", "exit codes"):
        assert word in told.stdout


def test_the_command_is_the_installed_one(interpreter: Path, tmp_path: Path) -> None:
    told = run(interpreter, "-c", "import api, grading; print(api.__file__, grading.__file__)", folder=tmp_path)
    assert str(ROOT) not in told.stdout
    assert run(sizewright(interpreter), "--version", folder=tmp_path).stdout == "sizewright 0.1.0\n"


def test_the_installed_command_checks_grades_and_verifies(interpreter: Path, tmp_path: Path) -> None:
    checked = run(sizewright(interpreter), "check", PATTERN, folder=tmp_path)
    assert checked.returncode == 0, checked.stderr
    grade = tmp_path / "mini.json"
    graded = run(sizewright(interpreter), "grade", PATTERN, "--size", "mini", "--output", grade, folder=tmp_path)
    assert graded.returncode == 0, graded.stderr
    verified = run(sizewright(interpreter), "verify", PATTERN, grade, folder=tmp_path)
    assert verified.returncode == 0, verified.stderr


def test_the_installed_verifier_runs_where_nothing_else_is_installed(
    wheel: Path, interpreter: Path, tmp_path: Path
) -> None:
    grade = tmp_path / "base.json"
    graded = run(sizewright(interpreter), "grade", PATTERN, "--size", "base", "--output", grade, folder=tmp_path)
    assert graded.returncode == 0, graded.stderr
    zipfile.ZipFile(wheel).extractall(tmp_path / "alone")
    start = (
        "import runpy, sys; sys.path.insert(0, sys.argv.pop(1)); "
        "runpy.run_module('grading.verify', run_name='__main__', alter_sys=True)"
    )
    alone = run(interpreter, "-I", "-S", "-c", start, tmp_path / "alone", PATTERN, grade, folder=tmp_path)
    assert alone.returncode == 0, alone.stdout + alone.stderr
    installed = run(interpreter, "-m", "grading.verify", PATTERN, grade, folder=tmp_path)
    assert installed.stdout == alone.stdout
