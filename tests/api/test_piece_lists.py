"""Piece lists as spreadsheets save them; what no spreadsheet saves is refused before it is unpacked."""

from __future__ import annotations

import base64
import io
import zipfile
from typing import Any

import openpyxl
import pytest

from api.jobs.piece_lists import MOST_UNPACKED, piece_list
from api.jobs.worker import Refusal

ROWS = [["piece", "width", "height"], ["panel", 480, 440.5]]


def workbook(rows: list[list[Any]]) -> str:
    book, content = openpyxl.Workbook(), io.BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(content)
    return base64.b64encode(content.getvalue()).decode()


def taken(csv: str | None = None, xlsx: str | None = None) -> dict[str, Any]:
    return piece_list({"csv": csv, "xlsx": xlsx, "name": "Listed", "unit": "mm"}, lambda: False)


def refused(csv: str | None = None, xlsx: str | None = None) -> list[str]:
    with pytest.raises(Refusal) as error:
        taken(csv, xlsx)
    assert error.value.content["kind"] == "request"
    return [fault["path"] for fault in error.value.content["faults"]]


@pytest.mark.parametrize(
    "text",
    [
        "piece,width,height\npanel,480,440.5\n",
        "\ufeffpiece;width;height\r\npanel;480;440,5\r\n",
        "piece\twidth\theight\npanel\t480\t440.5",
        '"piece","width","height"\n"panel","480","440.5"\n',
    ],
)
def test_a_table_is_read_as_spreadsheets_of_all_countries_save_it(text: str) -> None:
    assert taken(text)["dimensions"]["panel_width"]["base"] == 480
    assert str(taken(text)["dimensions"]["panel_height"]["base"]).removesuffix(" mm") == "440.5"


def test_a_workbook_is_read_as_the_same_list() -> None:
    assert taken(xlsx=workbook(ROWS)) == taken("piece,width,height\npanel,480,440.5\n")


def test_faults_are_named_by_row_and_column() -> None:
    assert refused("piece,width,height\npanel,wide,440\nflap,1,high\n") == ["list.rows.2.width", "list.rows.3.height"]


@pytest.mark.parametrize(
    "content", ["no base64!", base64.b64encode(b"no workbook").decode(), base64.b64encode(b"PK\x03\x04" * 9).decode()]
)
def test_what_is_no_workbook_is_refused(content: str) -> None:
    assert refused(xlsx=content) == ["list.xlsx"]


def test_a_file_that_unpacks_to_far_more_than_it_is_is_refused_unread() -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/worksheets/sheet1.xml", b"0" * (MOST_UNPACKED + 1))
    assert len(packed.getvalue()) < 1_000_000
    assert refused(xlsx=base64.b64encode(packed.getvalue()).decode()) == ["list.xlsx"]


def test_a_workbook_whose_parts_refer_to_themselves_is_refused() -> None:
    """Entities that grow by being named (the billion laughs) are not expanded."""
    bomb = '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]><worksheet>&b;</worksheet>'
    book, content = io.BytesIO(base64.b64decode(workbook(ROWS))), io.BytesIO()
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(content, "w") as new:
        for name in old.namelist():
            new.writestr(name, bomb if name.endswith("workbook.xml") else old.read(name))
    assert refused(xlsx=base64.b64encode(content.getvalue()).decode()) == ["list.xlsx"]
