"""The order form in a real browser: a customer orders, a wish that cannot be met, the form in a shop's own page."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener, Server

DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"
HEAD = '<!doctype html><link rel="icon" href="data:,">'


@dataclass
class Shop:
    """A shop of its own origin, whose pages have what it is given."""

    address: str
    pages: dict[str, str]


@pytest.fixture(scope="module")
def shop() -> Iterator[Shop]:
    pages: dict[str, str] = {}

    class Pages(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            content = pages.get(self.path, "").encode()
            self.send_response(200 if self.path in pages else 404)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *arguments: Any) -> None:
            """Says nothing."""

    served = ThreadingHTTPServer(("127.0.0.1", 0), Pages)
    # Another host than the server's, so that it is another site to the browser too.
    address = f"http://localhost:{served.server_address[1]}"
    thread = threading.Thread(target=served.serve_forever, daemon=True)
    thread.start()
    yield Shop(address, pages)
    served.shutdown()
    served.server_close()


@dataclass(frozen=True)
class Offered:
    """An open order form: its pattern and its token."""

    pattern: str
    token: str

    @property
    def page(self) -> str:
        return f"/form/{self.token}"


@pytest.fixture(scope="module")
def tote(server: Server) -> str:
    """The id of the demo's tote."""
    document = json.loads((DEMO / "market_tote.json").read_text(encoding="utf-8"))
    return str(server.ask("POST", "/patterns", {"document": document})["id"])


@pytest.fixture
def offered(server: Server, shop: Shop, tote: str) -> Offered:
    """A form of its own for each test, since each may send so many requests a minute."""
    made = server.ask("POST", f"/patterns/{tote}/forms", {"origins": [shop.address]})
    return Offered(tote, made["token"])


@pytest.fixture
def customer(opened: Opener) -> Page:
    """A window of somebody who has no key."""
    return opened(signed_in=False)


def price(page: Page) -> str:
    return page.locator(".price dd").inner_text()


def drawn(page: Page) -> None:
    """Waits until the picture is there."""
    picture = page.locator("#answer img")
    page.wait_for_function("picture => picture.complete && picture.naturalWidth > 0", arg=picture.element_handle())


def orders(server: Server) -> list[dict[str, Any]]:
    return list(server.ask("GET", "/orders")["items"])


def test_a_customer_orders(
    customer: Page,
    offered: Offered,
    server: Server,
    axe: Callable[[Page], list[str]],
    pictured: Callable[[Page, str], None],
) -> None:
    customer.goto(offered.page)
    expect(customer.get_by_role("heading", level=1)).to_have_text("Market tote")
    drawn(customer)
    usual = price(customer)
    customer.get_by_label("Width").fill("40")
    customer.get_by_label("Width").press("Tab")
    expect(customer.get_by_label("Measures of your own")).to_be_checked()
    expect(customer.locator("#answer")).to_contain_text("40 cm")
    customer.get_by_label("Plain canvas, kelp green").check()
    expect(customer.locator("#answer img")).to_have_attribute("src", re.compile("main%3Akelp"))
    drawn(customer)
    assert price(customer) != usual
    customer.get_by_label("Your name").fill("A. Winter")
    customer.get_by_label("Where you can be reached").fill("winter@example.org")
    customer.get_by_label("Without").check()
    expect(customer.get_by_label("Your name")).to_have_value("A. Winter")
    expect(customer.get_by_role("button", name="Order for")).to_be_enabled()
    told = price(customer)
    customer.get_by_role("button", name=f"Order for {told}").click()
    expect(customer.get_by_role("heading", level=1)).to_have_text("Thank you. It is ordered.")
    assert axe(customer) == []
    pictured(customer, "order_placed")
    number = customer.locator("dt", has_text="Number of your order").locator("+ dd").inner_text()
    order = next(each for each in orders(server) if each["id"] == number)
    wish = order["quote"]["wish"]
    assert wish["measures"] == {"width": "400 mm", "height": "380 mm", "depth": "120 mm"}
    assert (wish["cloths"]["main"], wish["options"]) == ("kelp", {"sleeve": "without"})
    assert (order["customer"]["name"], order["quote"]["price"]["text"]) == ("A. Winter", told)


def test_an_order_that_is_sent_twice_is_placed_once(customer: Page, offered: Offered, server: Server) -> None:
    customer.goto(offered.page)
    customer.get_by_label("Your name").fill("B. Twice")
    customer.get_by_label("Where you can be reached").fill("twice@example.org")
    customer.get_by_role("button", name="Order for").click()
    expect(customer.get_by_role("heading", level=1)).to_have_text("Thank you. It is ordered.")
    customer.reload()
    expect(customer.get_by_role("heading", level=1)).to_have_text("Thank you. It is ordered.")
    assert [each["customer"]["name"] for each in orders(server)].count("B. Twice") == 1


def test_a_wish_that_cannot_be_met_is_told_why_and_what_can(customer: Page, offered: Offered) -> None:
    customer.goto(offered.page)
    customer.get_by_label("Width").fill("60")
    customer.get_by_label("Width").press("Tab")
    answer = customer.locator("#answer")
    expect(answer).to_contain_text("60 cm cannot be made: not more than 50 cm.")
    expect(customer.get_by_label("Width")).to_have_attribute("aria-invalid", "true")
    expect(customer.locator("#told")).to_contain_text("60 cm cannot be made")
    expect(customer.get_by_role("button", name="Order for")).to_have_count(0)
    answer.get_by_role("button", name="Take 50 cm for width").click()
    expect(customer.get_by_label("Width")).to_have_value("50")
    expect(answer).to_contain_text("50 cm")
    expect(customer.get_by_role("button", name="Order for")).to_be_visible()
    expect(customer.get_by_label("Width")).not_to_have_attribute("aria-invalid", "true")


def test_what_is_no_length_is_told_at_its_field(customer: Page, offered: Offered) -> None:
    customer.goto(offered.page)
    customer.get_by_label("Height").fill("tall")
    customer.get_by_label("Height").press("Tab")
    expect(customer.locator("#fault-height")).to_contain_text("is no length")
    customer.get_by_label("Height").fill("39.5")
    customer.get_by_label("Height").press("Tab")
    expect(customer.locator("#fault-height")).to_be_empty()
    expect(customer.locator("#answer")).to_contain_text("39.5 cm")


def test_measures_are_taken_in_the_customers_unit_exactly(customer: Page, offered: Offered, server: Server) -> None:
    customer.goto(offered.page)
    drawn(customer)
    customer.get_by_label("Inches").check()
    # 240 mm to 500 mm, rounded inwards to 1/8 in: 9 1/2 in is 241.3 mm, 19 5/8 in is 498.475 mm.
    expect(customer.locator("#ends-width")).to_have_text("9 1/2 in to 19 5/8 in")
    customer.get_by_label("Width").fill("14 1/2")
    customer.get_by_label("Width").press("Tab")
    # On the pattern's ruler of 1 mm 368.3 mm becomes 368 mm.
    expect(customer.locator("#answer")).to_contain_text("about 14.49 in")
    expect(customer.get_by_role("button", name="Order for")).to_be_enabled()
    customer.get_by_label("Millimetres").check()
    expect(customer.get_by_label("Width")).to_have_value("368.3")
    expect(customer.locator("#answer")).to_contain_text("368 mm")


def test_the_form_works_by_keyboard_alone(customer: Page, offered: Offered) -> None:
    customer.goto(offered.page)
    customer.keyboard.press("Tab")
    expect(customer.get_by_label("Centimetres")).to_be_focused()
    customer.keyboard.press("Tab")
    customer.keyboard.press("ArrowDown")
    expect(customer.locator('input[name="size"]:checked')).to_have_value("mini")
    expect(customer.locator("#answer")).to_contain_text("25.2 cm")
    customer.keyboard.press("Tab")
    expect(customer.get_by_label("Width")).to_be_focused()
    customer.keyboard.press("Control+A")
    customer.keyboard.type("30")
    customer.keyboard.press("Tab")
    expect(customer.get_by_label("Height")).to_be_focused()
    expect(customer.locator("#answer")).to_contain_text("30 cm")
    expect(customer.get_by_label("Height")).to_be_focused()


def test_the_form_works_without_a_script(opened: Opener, offered: Offered, server: Server) -> None:
    customer = opened(signed_in=False, java_script_enabled=False)
    customer.goto(offered.page)
    customer.get_by_label("Measures of your own").check()
    customer.get_by_label("Depth").fill("20")
    customer.get_by_role("button", name="Show picture and price").click()
    expect(customer.locator("#answer")).to_contain_text("20 cm cannot be made: not more than 18 cm.")
    customer.get_by_role("button", name="Take 18 cm for depth").click()
    expect(customer.locator("#answer")).to_contain_text("18 cm")
    customer.get_by_label("Your name").fill("C. Plain")
    customer.get_by_label("Where you can be reached").fill("plain@example.org")
    customer.get_by_role("button", name="Order for").click()
    expect(customer.get_by_role("heading", level=1)).to_have_text("Thank you. It is ordered.")
    assert "C. Plain" in [each["customer"]["name"] for each in orders(server)]


def test_the_form_is_within_reach_of_everybody_and_light(
    customer: Page,
    offered: Offered,
    axe: Callable[[Page], list[str]],
    pictured: Callable[[Page, str], None],
    first_view_bytes: Callable[[Page, str], int],
) -> None:
    customer.goto(offered.page)
    drawn(customer)
    assert axe(customer) == []
    pictured(customer, "order")
    customer.get_by_label("Width").fill("60")
    customer.get_by_label("Width").press("Tab")
    expect(customer.locator("#answer")).to_contain_text("cannot be made")
    assert axe(customer) == []
    pictured(customer, "order_refused")
    assert first_view_bytes(customer, offered.page) < 200_000


def test_one_script_tag_puts_the_form_into_a_shops_page(
    customer: Page, offered: Offered, shop: Shop, server: Server, pictured: Callable[[Page, str], None]
) -> None:
    tag = f'<script src="{server.address}/assets/order-form.js" data-form="{offered.token}" async></script>'
    listener = "addEventListener('ordered', event => { document.title = event.detail.order; });"
    shop.pages["/bag"] = f"{HEAD}<title>Shop</title><h1>Our tote</h1><script>{listener}</script>{tag}"
    customer.goto(f"{shop.address}/bag")
    frame = customer.frame_locator("iframe[title='Order form']")
    expect(frame.get_by_role("heading", level=1)).to_have_text("Market tote")
    # As high as what is in it: nothing to scroll inside the frame.
    customer.wait_for_function(
        "() => { const frame = document.querySelector('iframe'); return frame && frame.offsetHeight > 1000; }"
    )
    inside = customer.frames[1]
    spare = inside.evaluate("document.documentElement.scrollHeight - window.innerHeight")
    assert spare <= 1
    pictured(customer, "order_in_a_shop")
    frame.get_by_label("Your name").fill("D. Shopper")
    frame.get_by_label("Where you can be reached").fill("shopper@example.org")
    frame.get_by_role("button", name="Order for").click()
    expect(frame.get_by_role("heading", level=1)).to_have_text("Thank you. It is ordered.")
    customer.wait_for_function("() => document.title !== 'Shop'")
    assert customer.title() in [each["id"] for each in orders(server)]


def test_a_page_that_the_form_is_not_bound_to_cannot_show_it(
    opened: Opener, offered: Offered, shop: Shop, server: Server
) -> None:
    opened.expected = ("frame-ancestors", "Refused to frame", "Framing", "violates the following")
    stranger = opened(signed_in=False)
    shop.pages["/stranger"] = f'{HEAD}<title>Stranger</title><iframe src="{server.address}{offered.page}"></iframe>'
    # The same server under another host is another origin.
    stranger.goto(f"{shop.address.replace('localhost', '127.0.0.1')}/stranger")
    stranger.wait_for_timeout(500)
    assert not any(frame.locator("#wish").count() for frame in stranger.frames)


def test_a_form_that_is_closed_says_so(opened: Opener, offered: Offered, server: Server) -> None:
    opened.expected = ("404",)
    customer = opened(signed_in=False)
    wrong = offered.token[:-1] + ("a" if offered.token[-1] != "a" else "b")
    answer = customer.goto(f"/form/{wrong}")
    assert answer is not None and answer.status == 404
    expect(customer.get_by_role("heading", level=1)).to_have_text("This order form is closed")


def test_the_designer_sees_the_form_of_a_pattern_by_its_own_key(window: Page, offered: Offered) -> None:
    window.goto(f"/form/{offered.pattern}")
    expect(window.get_by_role("heading", level=1)).to_have_text("Market tote")
    expect(window.locator(".price dd")).to_contain_text("EUR")
