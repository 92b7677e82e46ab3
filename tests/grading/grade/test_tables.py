"""The cut list as comma-separated values, read back with Python's own csv reader (RFC 4180)."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from grading.grade.tables import COLUMNS, cut_list_table
from grading.pipeline import grade_document, grade_size, read_document
from tests.conftest import DEMO_NAMES
from tests.patterns import sheet

Json = dict[str, Any]


def graded(document: Json) -> Json:
    return grade_document(grade_size(read_document(document), size="base"))


def read(table: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(table, newline=""), strict=True))


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_row_of_the_cut_list_is_there_with_its_measures(name: str, demo_documents: dict[str, Json]) -> None:
    grade = graded(demo_documents[name])
    rows = read(cut_list_table(grade))
    assert len(rows) == len(grade["cut_list"])
    for found, wanted in zip(rows, grade["cut_list"], strict=True):
        for key in ("letter", "piece", "layer", "material", "kind", "grain", "across", "along", "allowance"):
            assert found[key] == wanted[key]
        assert (int(found["count"]), int(found["mirrored"])) == (wanted["count"], wanted["mirrored"])
        assert found["finished across"] == wanted["finished"]["across"]
        assert found["trim across"] == (wanted["trim"]["across"] if wanted["trim"] else "")
        assert found["folded along"] == (wanted["on_fold"]["along"] if wanted["on_fold"] else "")
        assert found["strips"] == (str(wanted["strips"]["count"]) if wanted["strips"] else "")
        assert found["step"] == ("" if wanted["step"] is None else str(wanted["step"]))
        assert found["cut"] == ""


def test_lines_end_as_the_standard_says() -> None:
    table = cut_list_table(graded(sheet({"rectangle": ["width", "height"]})))
    assert table.startswith(",".join(COLUMNS) + "\r\n")
    assert table.endswith("\r\n")
    assert table.count("\r\n") == 2


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", "=cmd|' /C calc'!A0"])
def test_nothing_in_a_cell_is_taken_for_a_formula(text: str) -> None:
    grade = graded(sheet({"rectangle": ["width", "height"]}))
    grade["cut_list"][0] |= {"piece": text, "material": text}
    (row,) = read(cut_list_table(grade))
    assert row["piece"] == row["material"] == f"'{text}"


@pytest.mark.parametrize("text", ['12" wide', "a, b", "two\nlines", '"', "é ü 縫"])
def test_quotes_commas_and_line_breaks_come_back_as_they_were(text: str) -> None:
    grade = graded(sheet({"rectangle": ["width", "height"]}))
    grade["cut_list"][0]["layer"] = text
    (row,) = read(cut_list_table(grade))
    assert row["layer"] == text
