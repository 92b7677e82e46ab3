"""The environment is made once, filled from exactly the pinned files, and filled again when the lock changes."""

from __future__ import annotations

import base64
import hashlib
import json
import sys
import zipfile
from pathlib import Path

import pytest

from demo_requests import environment
from demo_requests.environment import DEMO_LOCK, TESTS_LOCK, InstallationError, Progress


def small_wheel(folder: Path) -> Path:
    """A wheel of one module, laid out as the binary distribution format says (packaging.python.org, from memory)."""
    files = {
        "thimble.py": "SIZE = 14\n",
        "thimble-1.0.dist-info/METADATA": "Metadata-Version: 2.1\nName: thimble\nVersion: 1.0\n",
        "thimble-1.0.dist-info/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = "thimble-1.0.dist-info/RECORD"
    lines = [f"{name},sha256={digest(text)},{len(text)}" for name, text in files.items()]
    path = folder / "thimble-1.0-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as wheel:
        for name, text in {**files, record: "\n".join([*lines, f"{record},,", ""])}.items():
            wheel.writestr(name, text)
    return path


def digest(text: str) -> str:
    """The digest of a file as a wheel's record has it."""
    return base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=").decode()


def lock_of(folder: Path, wheel: Path, hashed: str) -> Path:
    """A lock with the one wheel, by its place on the disk."""
    lock = folder / "requirements.lock"
    lock.write_text(f"thimble @ {wheel.as_uri()} --hash=sha256:{hashed}\n", encoding="utf-8")
    return lock


@pytest.mark.parametrize("lock", [DEMO_LOCK, TESTS_LOCK], ids=["demo", "tests"])
def test_every_pinned_package_has_a_hash_and_no_index_is_named(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    entries = text.replace("\\\n", " ").splitlines()
    assert len(entries) > 20
    for entry in entries:
        assert "==" in entry.split()[0]
        assert "--hash=sha256:" in entry
    assert "://" not in text
    assert "--index" not in text
    assert "--find-links" not in text


def test_what_the_tests_need_includes_all_that_the_demo_needs(tmp_path: Path) -> None:
    environment.remember(TESTS_LOCK, tmp_path)
    assert environment.is_installed(TESTS_LOCK, tmp_path)
    assert environment.is_installed(DEMO_LOCK, tmp_path)


def test_what_the_demo_needs_is_not_enough_for_the_tests(tmp_path: Path) -> None:
    environment.remember(DEMO_LOCK, tmp_path)
    assert environment.is_installed(DEMO_LOCK, tmp_path)
    assert not environment.is_installed(TESTS_LOCK, tmp_path)


def test_a_changed_lock_is_installed_again(tmp_path: Path) -> None:
    lock = tmp_path / "requirements.lock"
    lock.write_text("thimble==1.0 --hash=sha256:00\n", encoding="utf-8")
    environment.remember(lock, tmp_path)
    assert environment.is_installed(lock, tmp_path)
    lock.write_text("thimble==1.1 --hash=sha256:00\n", encoding="utf-8")
    assert not environment.is_installed(lock, tmp_path)


@pytest.mark.parametrize("stamp", ["", "[1]", "{", '{"holds": []}'])
def test_an_unreadable_stamp_counts_as_nothing_installed(tmp_path: Path, stamp: str) -> None:
    (tmp_path / environment.STAMP).write_text(stamp, encoding="utf-8")
    assert not environment.is_installed(DEMO_LOCK, tmp_path)


def test_a_missing_or_broken_environment_is_not_usable(tmp_path: Path) -> None:
    assert not environment.is_usable(tmp_path / "missing")
    interpreter = environment.python_of(tmp_path)
    interpreter.parent.mkdir(parents=True)
    interpreter.symlink_to(tmp_path / "gone")
    assert not environment.is_usable(tmp_path)


def test_a_new_environment_is_filled_from_the_lock_and_refuses_a_wrong_hash(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wheel = small_wheel(tmp_path)
    place = tmp_path / ".venv"
    right = hashlib.sha256(wheel.read_bytes()).hexdigest()
    lock = lock_of(tmp_path, wheel, "0" * 64)
    with pytest.raises(InstallationError, match="could not be installed"):
        environment.ensure(lock, place)
    assert not environment.is_installed(lock, place)

    lock = lock_of(tmp_path, wheel, right)
    environment.ensure(lock, place)
    assert environment.is_installed(lock, place)
    assert list(place.rglob("thimble.py"))
    assert "Installed in" in capsys.readouterr().out

    environment.ensure(lock, place)
    assert capsys.readouterr().out == ""
    assert json.loads((place / environment.STAMP).read_text())["holds"]


def test_progress_is_one_changing_line_on_a_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    progress = Progress(4)
    for line in (
        "Ignoring tzdata: markers 'sys_platform == \"win32\"' don't match your environment\n",
        "Collecting numpy==2.4 (from -r x)\n",
        "  Using cached numpy\n",
        "Processing /wheels of-all/typing_extensions-4.16.0-py3-none-any.whl (from -r demo_requests/x.lock (line 3))\n",
        "Requirement already satisfied: python-flint==0.9.0 in ./x\n",
    ):
        progress.read(line)
    progress.close()
    shown = capsys.readouterr().out.split("\r")
    assert [line.strip() for line in shown[1:]] == [
        "1 of 3: numpy",
        "2 of 3: typing_extensions",
        "3 of 3: python-flint",
    ]


def test_progress_is_a_line_for_every_tenth_package_elsewhere(capsys: pytest.CaptureFixture[str]) -> None:
    progress = Progress(25)
    for number in range(25):
        progress.read(f"Collecting package{number}==1.0\n")
    progress.read("Installing collected packages: a, b\n")
    progress.close()
    lines = [line.strip() for line in capsys.readouterr().out.splitlines()[1:]]
    assert lines == [
        "10 of 25: package9",
        "20 of 25: package19",
        "25 packages ready, putting them in place ...",
    ]
