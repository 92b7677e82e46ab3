"""`sizewright booklet`, by its words and its files."""

from __future__ import annotations

import json
from pathlib import Path

import pypdf
import pytest

from api.command import main
from tests.patterns import changed, pouch

Output = pytest.CaptureFixture[str]


@pytest.fixture
def pattern(tmp_path: Path) -> str:
    path = tmp_path / "pouch.json"
    path.write_text(json.dumps(pouch()), encoding="utf-8")
    return str(path)


def title(path: Path) -> str | None:
    found = pypdf.PdfReader(path).metadata
    return found.title if found else None


def test_one_size_or_all_are_printed(pattern: str, tmp_path: Path, capsys: Output) -> None:
    one, whole = tmp_path / "one.pdf", tmp_path / "all.pdf"
    assert main(["booklet", pattern, "--size", "wide", "--out", str(one)]) == 0
    assert main(["booklet", pattern, "--all", "--paper", "letter", "--out", str(whole)]) == 0
    assert capsys.readouterr().out.splitlines() == [f"The booklet is in {one}", f"The booklet is in {whole}"]
    assert title(one) == "Flat pouch, size wide: metric edition"
    assert title(whole) == "Flat pouch, sizes base and wide: metric edition"
    assert float(pypdf.PdfReader(whole).pages[0].mediabox.width) == 612  # 8 1/2 in


def test_layouts_are_made_taken_or_left_out(pattern: str, tmp_path: Path, capsys: Output) -> None:
    made, taken, without = (tmp_path / name for name in ("made.pdf", "taken.pdf", "without.pdf"))
    assert main(["layouts", pattern, "--style", "folded", "--json"]) == 0
    layouts = tmp_path / "layouts.json"
    layouts.write_text(capsys.readouterr().out, encoding="utf-8")
    for more, path in (([], made), (["--layouts", str(layouts)], taken), (["--without-layouts"], without)):
        assert main(["booklet", pattern, *more, "--out", str(path)]) == 0
    texts = [" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages) for path in (made, taken, without)]
    assert ["From the left" in text for text in texts] == [True, False, False]
    assert ["From the fold" in text for text in texts] == [False, True, False]


def test_layouts_of_another_size_are_refused(pattern: str, tmp_path: Path, capsys: Output) -> None:
    assert main(["layouts", pattern, "--size", "wide", "--json"]) == 0
    layouts = tmp_path / "layouts.json"
    layouts.write_text(capsys.readouterr().out, encoding="utf-8")
    out = tmp_path / "one.pdf"
    assert main(["booklet", pattern, "--layouts", str(layouts), "--out", str(out)]) == 1
    assert "these are not layouts of this size" in capsys.readouterr().err
    assert not out.exists()
    assert main(["booklet", pattern, "--all", "--layouts", str(layouts), "--out", str(out)]) == 2
    assert "--layouts is for one size" in capsys.readouterr().err


def test_a_booklet_that_would_mix_two_systems_is_refused(tmp_path: Path, capsys: Output) -> None:
    path = tmp_path / "mixed.json"
    path.write_text(json.dumps(changed(pouch(), "edition", {"system": "imperial"})), encoding="utf-8")
    assert main(["booklet", str(path), "--out", str(tmp_path / "out.pdf")]) == 1
    assert "a booklet never mixes the two" in capsys.readouterr().err


def test_a_file_that_cannot_be_written_is_told(pattern: str, tmp_path: Path, capsys: Output) -> None:
    assert main(["booklet", pattern, "--out", str(tmp_path / "no" / "out.pdf")]) == 2
    assert "cannot be written" in capsys.readouterr().err
