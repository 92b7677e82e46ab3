"""The proof page in a real browser: every seam with both sides, files, and pieces measured at the table."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener, Server

DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"


@pytest.fixture(scope="module")
def tote(server: Server) -> str:
    """The id of a grade of the demo's tote."""
    document = json.loads((DEMO / "market_tote.json").read_text(encoding="utf-8"))
    stored = server.ask("POST", "/patterns", {"document": document})
    address = f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"
    return str(server.ask("POST", address, {"size": "base"})["id"])


def test_every_seam_is_shown_with_both_sides_and_what_was_checked(window: Page, tote: str) -> None:
    window.goto(f"/proofs/{tote}")
    expect(window.get_by_role("heading", level=1)).to_have_text("Proof of Market tote, base")
    seams = window.locator("section.seam")
    expect(seams).to_have_count(18)
    side = window.get_by_role("region", name="Checks of the seam side", exact=True)
    expect(side.get_by_role("row")).to_contain_text(["Check", "The two sides", "Notch 1"])
    expect(side.get_by_role("row").nth(1)).to_contain_text("380 mm")
    picture = window.get_by_alt_text("Both sides of the seam side: 380 mm and 380 mm.")
    picture.scroll_into_view_if_needed()
    window.wait_for_function("picture => picture.complete && picture.naturalWidth > 0", arg=picture.element_handle())
    expect(window.locator("main")).to_contain_text("Numbers checked; your cloth, quilting and sewing are not.")


def test_no_word_of_the_calculation_is_shown(window: Page, tote: str) -> None:
    window.goto(f"/proofs/{tote}")
    text = window.locator("main").inner_text().lower()
    for word in ("claim", "certificate", "solver", "constraint", "relation", "displacement", "multiplier", "kkt"):
        assert word not in text


@pytest.mark.parametrize(
    ("first", "verdict"), [("380", "joins"), ("383.5 mm", "ease it in"), ("390 mm", "trim"), ("15 in", "joins")]
)
def test_cut_pieces_are_judged_seam_by_seam(window: Page, tote: str, first: str, verdict: str) -> None:
    window.goto(f"/proofs/{tote}")
    section = window.locator("section.seam").filter(has=window.locator("#seam-side"))
    section.get_by_text("Judge cut pieces of this seam").click()
    section.get_by_label("Length of front right").fill(first)
    section.get_by_label("Length of back left").fill("380" if first != "15 in" else "381 mm")
    section.get_by_label("Each measured to within").fill("0.5")
    section.get_by_role("button", name="Judge this seam").press("Enter")
    expect(section.locator(".verdict")).to_have_text(verdict)


def test_what_is_still_to_be_measured_is_told(window: Page, tote: str) -> None:
    window.goto(f"/proofs/{tote}")
    section = window.locator("section.seam").filter(has=window.locator("#seam-bottom"))
    section.get_by_text("Judge cut pieces of this seam").click()
    section.get_by_label("Length of front bottom").fill("360 mm")
    section.get_by_role("button", name="Judge this seam").click()
    expect(section.locator(".fault")).to_contain_text("still to measure: back bottom")


def test_a_length_that_cannot_be_read_is_told_with_its_edge(window: Page, tote: str) -> None:
    window.goto(f"/proofs/{tote}")
    section = window.locator("section.seam").filter(has=window.locator("#seam-bottom"))
    section.get_by_text("Judge cut pieces of this seam").click()
    section.get_by_label("Length of front bottom").fill("a hand")
    section.get_by_label("Length of back bottom").fill("360 mm")
    section.get_by_role("button", name="Judge this seam").click()
    expect(section.locator(".fault")).to_contain_text("front bottom")


def test_pieces_are_judged_without_a_script_too(opened: Opener, tote: str) -> None:
    window = opened(java_script_enabled=False)
    window.goto(f"/proofs/{tote}")
    section = window.locator("section.seam").filter(has=window.locator("#seam-side"))
    section.get_by_text("Judge cut pieces of this seam").click()
    section.get_by_label("Length of front right").fill("390 mm")
    section.get_by_label("Length of back left").fill("380 mm")
    section.get_by_role("button", name="Judge this seam").click()
    section = window.locator("section.seam").filter(has=window.locator("#seam-side"))
    expect(section.locator(".verdict")).to_have_text("trim")
    expect(section.get_by_label("Length of front right")).to_have_value("390 mm")


def test_files_of_a_proof_can_be_taken_along(window: Page, tote: str, server: Server) -> None:
    window.goto(f"/proofs/{tote}")
    with window.expect_download() as waiting:
        window.get_by_role("link", name="proof.json").click()
    held: dict[str, Any] = json.loads(Path(waiting.value.path()).read_text(encoding="utf-8"))
    assert held == server.ask("GET", f"/grades/{tote}/proof")
    with window.expect_download() as waiting:
        window.get_by_role("link", name="cut-list.csv").click()
    assert waiting.value.suggested_filename == f"{tote[:8]}-cut-list.csv"


def test_the_proof_page_is_within_reach_of_everybody_and_light(
    window: Page,
    tote: str,
    axe: Callable[[Page], list[str]],
    pictured: Callable[[Page, str], None],
    first_view_bytes: Callable[[Page, str], int],
) -> None:
    window.goto(f"/proofs/{tote}")
    assert axe(window) == []
    window.get_by_text("Judge cut pieces of this seam").first.click()
    assert axe(window) == []
    pictured(window, "proof")
    assert first_view_bytes(window, f"/proofs/{tote}") < 200_000


def test_a_proof_that_is_not_there_is_not_found(window: Page, opened: Opener) -> None:
    opened.expected = ("404",)
    answer = window.goto(f"/proofs/{'0' * 64}")
    assert answer is not None and answer.status == 404
    expect(window.get_by_role("heading", level=1)).to_contain_text("Nothing is here")
