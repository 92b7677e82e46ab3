"""`sizewright batch`, on a demo and on tables that are wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from api.command import main

TOTE = str(Path(__file__).resolve().parents[2] / "demo_requests" / "patterns" / "market_tote.json")
Output = pytest.CaptureFixture[str]


def table(tmp_path: Path, text: str | bytes) -> str:
    path = tmp_path / "sizes.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return str(path)


def test_each_row_of_a_table_is_a_line(tmp_path: Path, capsys: Output) -> None:
    path = table(tmp_path, '\ufeffwidth,height\r\n300,380\r\n\r\n"31 cm","15 in"\r\n')
    assert main(["batch", TOTE, path]) == 0
    first, second = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert (first["dimensions"]["width"], second["dimensions"]["height"]) == (300, 381)


def test_a_row_without_a_size_is_told_and_ends_in_1(tmp_path: Path, capsys: Output) -> None:
    assert main(["batch", TOTE, table(tmp_path, "width\n300\n9999\n")]) == 1
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [line["consistent"] for line in lines] == [True, False]
    assert lines[1]["fails"] == "limits:width:most"


def test_scales_are_a_column_named_scale(tmp_path: Path, capsys: Output) -> None:
    assert main(["batch", TOTE, table(tmp_path, "scale\n1\n9/10\n")]) == 0
    base, smaller = [json.loads(line)["dimensions"] for line in capsys.readouterr().out.splitlines()]
    assert smaller["width"] == pytest.approx(base["width"] * 0.9)


def test_others_stay_at_base_where_asked(tmp_path: Path, capsys: Output) -> None:
    path = table(tmp_path, "width\n330\n")
    heights = []
    for options in ([], ["--others", "at-base"]):
        assert main(["batch", TOTE, path, *options]) == 0
        heights.append(json.loads(capsys.readouterr().out)["dimensions"]["height"])
    assert heights[0] != heights[1]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("width,height\n300,380\n\n300,high\n", "line 4, column 2"),
        ("width,girth\n300,380\n", "first line"),
        ("width,height\n300\n", "line 2"),
        ("scale\n0\n", "line 2"),
        ("width\n", "rows"),
    ],
)
def test_faults_name_the_line_of_the_file(tmp_path: Path, capsys: Output, text: str, told: str) -> None:
    assert main(["batch", TOTE, table(tmp_path, text)]) == 1
    assert told in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "is empty"),
        (b"width\n\xff\n", "not UTF-8"),
        ('width\n"300\n', "no table"),
        ("scale\n" + "1\n" * 100_001, "100000 rows"),
    ],
)
def test_files_that_are_no_tables_are_refused(tmp_path: Path, capsys: Output, text: str | bytes, told: str) -> None:
    assert main(["batch", TOTE, table(tmp_path, text)]) == 2
    assert told in capsys.readouterr().err
