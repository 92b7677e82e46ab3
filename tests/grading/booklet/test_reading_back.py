"""Booklets read back by pypdf and pdfplumber, which know nothing of how they were made."""

from __future__ import annotations

import io

import pdfplumber
import pypdf
import pytest

from grading.booklet import Paper, booklet
from tests.grading.booklet.books import (
    LARGEST,
    MILLIMETRE,
    bought_rows,
    boxes_to_tick,
    joined,
    laid_demo,
    page_texts,
    printed,
    reader,
    whole_text,
)

DEMOS = (LARGEST, "market_tote", "allotment_tool_roll")
ALL = ("base", "mini", "large")
# ISO 216: A4 is 210 × 297 mm. Letter is 8 1/2 × 11 in (ANSI/ASME Y14.1, from memory).
SHEETS = {"A4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}


def fonts(content: bytes) -> dict[str, bool]:
    """Every font that a page names, and whether its program is in the file (ISO 32000-1, section 9.9)."""
    found: dict[str, bool] = {}
    for page in reader(content).pages:
        for font in page["/Resources"]["/Font"].values():
            described = font.get_object()
            embedded = "/FontDescriptor" in described and "/FontFile2" in described["/FontDescriptor"].get_object()
            found[described["/BaseFont"]] = embedded
    return found


def test_every_font_is_embedded() -> None:
    found = fonts(printed(LARGEST))
    assert found
    assert all(found.values())


@pytest.mark.parametrize(("paper", "sheet"), list(SHEETS.items()))
def test_every_page_has_the_size_of_its_paper(paper: Paper, sheet: tuple[float, float]) -> None:
    content = printed("market_tote", paper=paper)
    for page in reader(content).pages:
        assert float(page.mediabox.width) == pytest.approx(sheet[0] * MILLIMETRE, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(sheet[1] * MILLIMETRE, abs=0.01)


def test_title_and_language_are_those_of_the_document() -> None:
    document = reader(printed("market_tote", "mini"))
    assert document.metadata is not None
    assert document.metadata.title == "Market tote, size mini: metric edition"
    root = document.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True


def test_the_same_documents_give_the_same_bytes() -> None:
    papers = laid_demo("market_tote")
    assert booklet(papers) == booklet(papers) == printed("market_tote")


@pytest.mark.parametrize("name", DEMOS)
def test_every_measure_of_the_cut_list_is_printed(name: str) -> None:
    text = whole_text(printed(name))
    for row in laid_demo(name).sizes[0].grade["cut_list"]:
        assert f"{row['across']} × {row['along']}" in text, row["piece"]
        if row["trim"] is not None:
            assert f"trim to {row['trim']['across']} × {row['trim']['along']}" in text
        if row["mirrored"]:
            assert f"{row['count']} + {row['mirrored']} mirrored" in text


@pytest.mark.parametrize("name", DEMOS)
def test_every_step_is_printed_with_its_measures(name: str) -> None:
    text = whole_text(printed(name))
    steps = laid_demo(name).sizes[0].grade["steps"]
    assert len(steps) > 20
    for step in steps:
        assert joined(step) in text


def test_each_size_has_its_own_cut_list_and_steps() -> None:
    papers, text = laid_demo("market_tote", *ALL), whole_text(printed("market_tote", *ALL))
    for size in papers.sizes:
        for row in size.grade["cut_list"]:
            assert f"{row['across']} × {row['along']}" in text
        for step in size.grade["steps"]:
            assert joined(step) in text


@pytest.mark.parametrize("name", DEMOS)
def test_there_is_a_box_for_each_thing_to_buy_to_cut_and_to_do(name: str) -> None:
    size = laid_demo(name).sizes[0]
    assert size.layouts is not None
    laid = sum(len(cloth["pieces"]) for cloth in size.layouts["cloths"].values())
    bought = len(list(bought_rows(dict(size.supplies)))) + len(size.supplies["thread"])
    expected = bought + len(size.grade["cut_list"]) + laid + len(size.grade["steps"])
    assert boxes_to_tick(printed(name)) == expected


def test_cautions_stand_before_everything_else() -> None:
    text = whole_text(printed(LARGEST))
    for caution in laid_demo(LARGEST).sizes[0].supplies["says"][1:]:
        assert joined(caution) in text
    assert "No load has been tried with this pattern" in text
    assert text.index("No load has been tried") < text.index("Across × along the grain")


def test_pages_are_numbered_of_how_many_there_are() -> None:
    texts = page_texts(printed("market_tote"))
    for number, text in enumerate(texts[1:], 2):
        assert f"{number} of {len(texts)}" in text


def test_contents_and_outline_lead_to_the_pages_of_their_headings() -> None:
    content = printed("market_tote", *ALL)
    document, texts = reader(content), page_texts(content)
    entries = list(flat(document.outline))
    assert len(entries) > 20
    for entry in entries:
        page = document.get_destination_page_number(entry)
        assert page is not None
        assert joined(str(entry.title)) in texts[page]
        assert f"{joined(str(entry.title))} {page + 1}" in texts[1]


def flat(outline: list[object]) -> list[pypdf.generic.Destination]:
    found: list[pypdf.generic.Destination] = []
    for entry in outline:
        if isinstance(entry, list):
            found += flat(entry)
        elif isinstance(entry, pypdf.generic.Destination):
            found.append(entry)
    return found


def test_check_lines_measure_a_hundred_millimetres_and_four_inches() -> None:
    with pdfplumber.open(io.BytesIO(printed("market_tote"))) as pdf:
        page = next(page for page in pdf.pages if "Check your print" in page.extract_text() and page.page_number > 2)
        widths = [line["width"] / MILLIMETRE for line in page.lines]
    assert any(abs(width - 100) < 0.01 for width in widths)
    assert any(abs(width - 4 * 25.4) < 0.01 for width in widths)


def test_nothing_runs_over_the_edge_of_a_page() -> None:
    for name, paper in (("market_tote", "A4"), ("allotment_tool_roll", "letter")):
        with pdfplumber.open(io.BytesIO(printed(name, paper=paper))) as pdf:
            for page in pdf.pages:
                least, most = 10 * MILLIMETRE, page.width - 10 * MILLIMETRE
                assert all(least <= char["x0"] and char["x1"] <= most for char in page.chars), page.page_number
                assert all(char["bottom"] <= page.height - 8 * MILLIMETRE for char in page.chars), page.page_number


def test_no_heading_is_left_alone_at_the_foot_of_a_page() -> None:
    document = reader(printed("market_tote", *ALL))
    for entry in flat(document.outline):
        page = document.pages[document.get_destination_page_number(entry) or 0]
        assert entry.top is not None
        assert float(entry.top) > 45 * MILLIMETRE, (entry.title, page.page_number)


def test_a_size_that_is_not_sewn_says_so_on_every_page() -> None:
    assert all("alculated, not yet sewn" in text for text in page_texts(printed("market_tote")))
