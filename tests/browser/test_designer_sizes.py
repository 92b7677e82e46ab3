"""Trial sizes, layouts, another cloth, piece lists, testers: the rest of the designer's desk in a real browser."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener, Server
from tests.browser.desk import begun, demo, document_of, write


@pytest.fixture(scope="module")
def tote(server: Server) -> dict[str, Any]:
    """The demo's tote, stored as a pattern."""
    stored: dict[str, Any] = server.ask("POST", "/patterns", {"document": demo("market_tote")})
    return stored


def place(pattern: dict[str, Any]) -> str:
    return f"/desk/patterns/{pattern['id']}/revisions/{pattern['head']}"


def test_a_trial_size_is_answered_at_once(window: Page, tote: dict[str, Any]) -> None:
    window.goto(f"{place(tote)}/trials")
    wish = window.get_by_label("Trial 1: scale")
    wish.fill("7/10")
    wish.press("Tab")
    answer = window.locator("#trial-1 .answer")
    # 7/10 of 360 mm.
    expect(answer).to_contain_text("width 252 mm")
    expect(window.get_by_label("Trial 1: scale")).to_have_value("7/10")


def test_a_size_of_a_draft_is_tried_before_anything_is_published(window: Page, server: Server) -> None:
    window.goto(begun(server, demo("market_tote")))
    window.get_by_role("link", name="Try sizes").click()
    wish = window.get_by_label("Trial 1: set")
    wish.fill("width = 300 mm")
    wish.press("Tab")
    answer = window.locator("#trial-1 .answer")
    expect(answer).to_contain_text("width 300 mm")
    expect(answer.get_by_role("link")).to_have_count(0)
    wish.fill("width = 100 mm")
    wish.press("Tab")
    expect(answer).to_contain_text("width is at least 220 mm")


def test_a_wish_that_cannot_be_met_says_why_and_what_would_do(opened: Opener, tote: dict[str, Any]) -> None:
    page = opened()
    page.goto(f"{place(tote)}/trials")
    page.get_by_label("Trial 2: set").fill("width = 100 mm")
    page.keyboard.press("Tab")
    answer = page.locator("#trial-2 .answer")
    expect(answer).to_contain_text("width is at least 220 mm")
    answer.get_by_role("button", name=re.compile("Try it.*width of 220 mm")).click()
    expect(answer).to_contain_text("width 220 mm")
    expect(page.get_by_label("Trial 2: set")).to_have_value("width = 220 mm")


def test_a_size_is_laid_out_and_what_to_buy_is_listed(window: Page, server: Server, tote: dict[str, Any]) -> None:
    grade = server.ask("POST", f"{place(tote).removeprefix('/desk')}/grades", {"size": "mini"})
    window.goto(f"/desk/grades/{grade['id']}")
    window.get_by_role("button", name="Lay it out").click()
    window.wait_for_url("**/desk/layouts/*", timeout=60_000)
    expect(window.locator("figure svg")).to_have_count(4)
    expect(window.get_by_role("region", name="What to buy")).to_contain_text("main")


def test_another_cloth_is_tried_compared_and_made_a_draft(window: Page, server: Server, tote: dict[str, Any]) -> None:
    window.goto(f"{place(tote)}/substitution")
    form = window.locator("form").filter(has=window.get_by_role("heading", name="A toile"))
    form.get_by_role("button", name="Try").click()
    outcome = window.locator("#outcome")
    expect(outcome).to_contain_text("calico")
    outcome.get_by_role("button", name="Make a draft of it").click()
    window.wait_for_url("**/desk/drafts/*")
    assert "calico" in document_of(server, window)["materials"]


def test_a_spreadsheet_of_pieces_becomes_a_draft(window: Page, server: Server, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in (["Piece", "Width (cm)", "Height (cm)", "Count"], ["Panel", 48, 44, 2], ["Side pocket", 20.5, 18, "1"]):
        book.active.append(row)
    book.save(tmp_path / "pieces.xlsx")
    window.goto("/desk/import")
    window.get_by_label("Name of the bag").fill("Listed bag")
    window.get_by_label("A file, CSV or XLSX").set_input_files(tmp_path / "pieces.xlsx")
    window.get_by_role("button", name="Begin a draft").click()
    window.wait_for_url("**/desk/drafts/*")
    document = document_of(server, window)
    assert document["dimensions"]["side_pocket_width"]["base"] == "20.5 cm"
    assert document["pieces"]["panel"]["uses"] == ["panel_1", "panel_2"]
    expect(window.locator("#drawing").get_by_text("B side pocket")).to_be_visible()


def test_a_cell_that_is_no_length_is_named(opened: Opener) -> None:
    opened.expected = ("422",)
    page = opened()
    page.goto("/desk/import")
    page.get_by_label("Name of the bag").fill("Listed bag")
    page.get_by_label("Or the table itself").fill("piece;width;height\npanel;wide;440\n")
    page.get_by_role("button", name="Begin a draft").click()
    expect(page.get_by_role("alert")).to_contain_text("'wide' is no length")
    expect(page.get_by_label("Or the table itself")).to_have_value("piece;width;height\npanel;wide;440\n")


def test_a_pattern_that_has_moved_on_is_not_published_over_unseen(opened: Opener, server: Server) -> None:
    opened.expected = ("412",)
    pattern = server.ask("POST", "/patterns", {"document": demo("market_tote")})
    drafts = [server.ask("POST", "/drafts", {"pattern": pattern["id"]})["id"] for _ in range(2)]
    page = opened()
    for draft, width in zip(drafts, ("361", "362"), strict=True):
        page.goto(f"/desk/drafts/{draft}?section=dimensions")
        write(page, "dimension width: base size", width)
        page.get_by_role("button", name="Publish the next revision").click()
        page.wait_for_load_state()
    expect(page.get_by_role("heading", name="The pattern has moved on")).to_be_visible()
    page.get_by_role("button", name="Publish mine after it").click()
    page.wait_for_url("**/revisions/*")
    assert server.ask("GET", f"/patterns/{pattern['id']}")["revision_count"] == 3


def test_a_tester_sends_a_record_in(window: Page, tote: dict[str, Any]) -> None:
    window.goto(place(tote))
    window.get_by_text("Send a tester's record in").click()
    window.get_by_label("Cloth", exact=True).fill("canvas, 0.6 mm")
    window.get_by_label("Measured finished").fill("width = 358 mm")
    window.get_by_label("Minutes of sewing").fill("380")
    window.get_by_label("Remarks, one a line").fill("8: clip the corner first")
    window.get_by_role("button", name="Send it in").click()
    records = window.get_by_role("region", name="Testers' records")
    expect(records).to_contain_text("358 mm")
    expect(records).to_contain_text("8: clip the corner first")


def test_a_page_without_a_key_leads_to_the_sign_in_page_and_back(opened: Opener, server: Server) -> None:
    opened.expected = ("401",)
    page = opened(signed_in=False)
    page.goto("/desk/import")
    address = begun(server, demo("market_tote"))
    page.goto(address)
    page.wait_for_url(re.compile("/desk/sign-in"))
    page.get_by_label("Key").fill("sw_nothing")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_be_visible()
    page.get_by_label("Key").fill(str(server.key))
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"**{address}")
    cookie = next(each for each in page.context.cookies() if each["name"] == "sizewright_key")
    assert (cookie["httpOnly"], cookie["sameSite"]) == (True, "Strict")
