"""How a designer moves about on the desk."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Server

SMALL = {"width": 200, "height": 180, "depth": 60}
PATTERNS = Path(__file__).parents[2] / "demo_requests" / "patterns"


def demo(name: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((PATTERNS / f"{name}.json").read_text(encoding="utf-8"))
    return document


def small() -> dict[str, Any]:
    """A sleeve of two pieces, which is checked in no time; invented."""
    edges = {edge: {"finish": "overcast"} for edge in ("right", "left")}
    hems = {edge: {"fate": "hemmed once"} for edge in ("top", "bottom")}
    panel = {"uses": ["front", "back"], "outline": {"rectangle": ["width", "height"]}, "edges": {**edges, **hems}}
    dimensions = {name: {"base": base, "limits": [base // 2, 2 * base]} for name, base in SMALL.items()}
    return {
        "format": 1,
        "name": "Sleeve",
        "dimensions": dimensions,
        "materials": {"main": {"says": "canvas", "usable_width": "1100 mm"}},
        "pieces": {"panel": {**panel, "layers": [{"material": "main"}]}},
        "seams": {"side": {"join": ["front.right"], "to": ["back.left"]}},
    }


def begun(server: Server, document: dict[str, Any]) -> str:
    """A draft of a document, made through the interface; its address."""
    return f"/desk/drafts/{server.ask('POST', '/drafts', {'document': document})['id']}"


def document_of(server: Server, page: Page) -> dict[str, Any]:
    """What the interface has of the draft that a page shows."""
    draft = page.locator("#work").get_attribute("data-draft")
    document: dict[str, Any] = server.ask("GET", f"/drafts/{draft}")["document"]
    return document


def section(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="Sections of the draft").get_by_role("link", name=name).click()
    expect(page.get_by_role("link", name=name).and_(page.locator("[aria-current]"))).to_be_visible()


def add(page: Page, kind: str, name: str) -> None:
    """A row more, by its name and the key Enter."""
    field = page.get_by_label(f"New {kind}", exact=True)
    field.fill(name)
    field.press("Enter")
    expect(page.get_by_role("button", name=f"Remove {kind} {name.replace('_', ' ')}", exact=True)).to_be_visible()


def write(page: Page, label: str, text: str) -> Locator:
    """Types into a field and leaves it by the key Tab; waits until the draft has it."""
    field = page.get_by_label(label, exact=True)
    before = version(page)
    field.fill(text)
    field.press("Tab")
    expect(page.locator("input[name=version]").first).not_to_have_value(before)
    return field


def choose(page: Page, label: str, choice: str) -> None:
    before = version(page)
    page.get_by_label(label, exact=True).select_option(choice)
    expect(page.locator("input[name=version]").first).not_to_have_value(before)


def version(page: Page) -> str:
    return page.locator("input[name=version]").first.input_value()
