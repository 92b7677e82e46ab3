"""`sizewright sheets` and `python -m api.sheets` on the demo."""

from __future__ import annotations

import json
import runpy
import sys
from pathlib import Path

import pypdf
import pytest

from api import sheets
from api.command import main

TOTE = str(Path(__file__).resolve().parents[2] / "demo_requests" / "patterns" / "market_tote.json")
Output = pytest.CaptureFixture[str]


def test_a_size_is_drawn_in_all_three_forms(tmp_path: Path, capsys: Output) -> None:
    folder = tmp_path / "new" / "folder"
    assert sheets.main([TOTE, "--size", "mini", "--paper", "A4", "--out", str(folder)]) == 0
    names = sorted(path.name for path in folder.iterdir())
    assert names == ["sheets-mini.dxf", "sheets-mini.pdf", "sheets-mini.svg"]
    assert capsys.readouterr().out.splitlines() == [
        f"{folder / name} is written" for name in ("sheets-mini.pdf", "sheets-mini.svg", "sheets-mini.dxf")
    ]
    assert pypdf.PdfReader(folder / "sheets-mini.pdf").pages[0].extract_text().startswith("Market tote")


def test_it_runs_as_a_module_without_a_server(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    given = [TOTE, "--size", "mini", "--form", "svg", "--pieces", "tab", "--out", str(tmp_path)]
    monkeypatch.setattr(sys, "argv", ["api.sheets", *given])
    monkeypatch.delitem(sys.modules, "api.sheets", raising=False)
    with pytest.raises(SystemExit) as ended:
        runpy.run_module("api.sheets", run_name="__main__")
    assert ended.value.code == 0
    assert (tmp_path / "sheets-mini.svg").read_text(encoding="utf-8").startswith("<svg")


def test_all_sizes_are_nested_on_one_set_of_sheets(tmp_path: Path) -> None:
    assert main(["sheets", TOTE, "--all", "--form", "pdf", "--paper", "A3", "--out", str(tmp_path)]) == 0
    text = pypdf.PdfReader(tmp_path / "sheets-all.pdf").pages[0].extract_text()
    assert "nested sizes base, mini, large" in text


def test_layouts_come_with_them_where_they_are_wanted(tmp_path: Path) -> None:
    assert main(["sheets", TOTE, "--layouts", "--form", "dxf", "--out", str(tmp_path)]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {"sheets-base.dxf", "layouts-base.pdf", "layouts-base.svg"}


def test_what_is_asked_wrongly_ends_with_words_and_a_code(tmp_path: Path, capsys: Output) -> None:
    asked = ["sheets", TOTE, "--out", str(tmp_path)]
    assert main([*asked, "--paper", "napkin"]) == 1
    assert "write A4, A3, letter, or a roll" in capsys.readouterr().err
    assert main([*asked, "--pieces", "tab,,"]) == 2
    assert main([*asked, "--all", "--layouts"]) == 2
    assert main(["sheets", TOTE, "--size", "giant", "--out", str(tmp_path)]) == 1
    taken = tmp_path / "taken"
    taken.write_text(json.dumps({}), encoding="utf-8")
    assert main(["sheets", TOTE, "--out", str(taken)]) == 2
