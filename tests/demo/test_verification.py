"""The verifier's own process: nothing installed, and no verdict taken on trust."""

from __future__ import annotations

from pathlib import Path

import pytest

from demo_requests.verification import verify


def verifier(folder: Path, program: str) -> Path:
    """A folder with a program in the verifier's place."""
    package = folder / "grading" / "verify"
    package.mkdir(parents=True)
    (folder / "grading" / "__init__.py").touch()
    (package / "__init__.py").touch()
    (package / "__main__.py").write_text(program, encoding="utf-8")
    return folder


def test_the_verdict_is_read_from_what_the_verifier_says(tmp_path: Path) -> None:
    root = verifier(tmp_path, "import sys; print('12 of 13 claims hold', *sys.argv[1:]); sys.exit(1)")
    verdict = verify(Path("bag.json"), Path("mini.json"), root=root)
    assert (verdict.proven, verdict.claims, verdict.holds) == (12, 13, False)
    assert "bag.json mini.json" in verdict.report


def test_no_installed_package_can_be_reached(tmp_path: Path) -> None:
    program = "import importlib.util as found; print(f'{0 if found.find_spec(\"numpy\") else 7} of 7 claims hold')"
    assert verify(Path("a"), Path("b"), root=verifier(tmp_path, program)).holds


def test_a_pattern_cannot_speak_for_the_verifier(tmp_path: Path) -> None:
    program = "print('9 of 9 claims hold'); print('8 of 9 claims hold.'); raise SystemExit(1)"
    assert verify(Path("a"), Path("b"), root=verifier(tmp_path, program)).proven == 8


def test_no_claims_at_all_prove_nothing(tmp_path: Path) -> None:
    assert not verify(Path("a"), Path("b"), root=verifier(tmp_path, "print('0 of 0 claims hold')")).holds


@pytest.mark.parametrize(
    "program",
    ["", "print('fine')", "raise SystemExit(2)", "print('3 of 4 claims hold')", "print(1 / 0)"],
)
def test_a_verifier_that_gives_no_clear_verdict_is_not_believed(tmp_path: Path, program: str) -> None:
    with pytest.raises(RuntimeError, match=r"verdict|contradicts"):
        verify(Path("a"), Path("b"), root=verifier(tmp_path, program))
