"""Nothing that a designer writes is lost: on reload, without a connection, and with somebody else at the same draft."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener, Server
from tests.browser.desk import begun, document_of, small, write

WIDTH, HEIGHT = "dimension width: base size", "dimension height: base size"


@pytest.fixture
def dimensions(server: Server) -> str:
    """The dimensions of a new draft."""
    return f"{begun(server, small())}?section=dimensions"


def test_what_is_half_written_is_there_after_a_reload(server: Server, window: Page, dimensions: str) -> None:
    window.goto(dimensions)
    write(window, WIDTH, "365")
    window.get_by_label(HEIGHT, exact=True).fill("")
    window.get_by_label(HEIGHT, exact=True).press_sequentially("39")
    window.reload()
    expect(window.get_by_label(WIDTH, exact=True)).to_have_value("365")
    expect(window.get_by_label(HEIGHT, exact=True)).to_have_value("39")
    expect(window.locator(".title-block")).to_contain_text("dimension height")
    bases = document_of(server, window)["dimensions"]
    assert (bases["width"]["base"], bases["height"]["base"]) == (365, 39)


def test_what_was_written_without_a_connection_is_sent_when_there_is_one_again(
    server: Server, opened: Opener, dimensions: str
) -> None:
    opened.expected = ("ERR_INTERNET_DISCONNECTED", "htmx:sendError", "htmx:afterRequest")
    page = opened()
    page.goto(dimensions)
    page.context.set_offline(True)
    field = page.get_by_label(WIDTH, exact=True)
    field.fill("377")
    field.press("Tab")
    expect(page.get_by_role("status").filter(has_text="does not answer")).to_be_visible()
    assert document_of(server, page)["dimensions"]["width"]["base"] == 200
    page.context.set_offline(False)
    expect(page.locator(".title-block")).to_contain_text("377")
    expect(field).to_have_value("377")
    assert document_of(server, page)["dimensions"]["width"]["base"] == 377


def test_two_people_who_change_the_same_measure_get_a_clear_choice(
    server: Server, opened: Opener, dimensions: str
) -> None:
    opened.expected = ("412",)
    one, other = opened(), opened()
    for page in (one, other):
        page.goto(dimensions)
    write(one, WIDTH, "400")
    write(other, WIDTH, "330")
    choice = other.get_by_role("alert")
    expect(choice).to_contain_text("Somebody else has changed this draft")
    row = choice.get_by_role("row", name="width base size")
    assert row.get_by_role("cell").all_inner_texts() == ["330", "400"]
    assert document_of(server, one)["dimensions"]["width"]["base"] == 400
    other.get_by_role("button", name="Keep mine").click()
    expect(choice).to_be_hidden()
    expect(other.get_by_label(WIDTH, exact=True)).to_have_value("330")
    assert document_of(server, one)["dimensions"]["width"]["base"] == 330


def test_keeping_mine_keeps_what_the_other_one_has_changed_besides(
    server: Server, opened: Opener, dimensions: str
) -> None:
    opened.expected = ("412",)
    one, other = opened(), opened()
    for page in (one, other):
        page.goto(dimensions)
    write(one, "dimension width: most", "540")
    write(other, WIDTH, "330")
    other.get_by_role("button", name="Keep mine").click()
    expect(other.get_by_role("alert")).to_be_hidden()
    width = document_of(server, one)["dimensions"]["width"]
    assert (width["base"], width["limits"]) == (330, [100, 540])


def test_taking_theirs_leaves_the_draft_as_it_is(server: Server, opened: Opener, dimensions: str) -> None:
    opened.expected = ("412",)
    one, other = opened(), opened()
    for page in (one, other):
        page.goto(dimensions)
    write(one, WIDTH, "400")
    write(other, WIDTH, "330")
    other.get_by_role("link", name="Take theirs").click()
    expect(other.get_by_label(WIDTH, exact=True)).to_have_value("400")
    assert document_of(server, one)["dimensions"]["width"]["base"] == 400


def test_a_draft_is_edited_without_any_script(server: Server, opened: Opener, dimensions: str) -> None:
    page = opened(java_script_enabled=False)
    page.goto(dimensions)
    page.get_by_label(WIDTH, exact=True).fill("350")
    page.get_by_label(HEIGHT, exact=True).fill("370")
    page.get_by_role("button", name="Save these rows").first.click()
    expect(page.get_by_label(WIDTH, exact=True)).to_have_value("350")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_label(HEIGHT, exact=True)).to_have_value("180")
    page.get_by_role("button", name="Redo").click()
    bases = document_of(server, page)["dimensions"]
    assert (bases["width"]["base"], bases["height"]["base"]) == (350, 370)
