"""The designer's day, in a real browser: a tote from nothing, graded and printed."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.conftest import Server
from tests.browser.desk import add, begun, choose, demo, document_of, section, small, write

Axe = Callable[[Page], list[str]]
Pictured = Callable[[Page, str], None]
UNPICTURED = {"draft_json", "draft_history", "draft_materials", "draft_coverings", "draft_rules", "draft_contents"}


def test_a_tote_is_made_from_nothing_and_graded_and_printed(server: Server, window: Page) -> None:
    page = window
    page.goto("/desk")
    page.get_by_label("Name of a new bag").fill("Island tote")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**/desk/drafts/*")

    section(page, "Dimensions")
    for name, base in (("width", "360"), ("height", "380")):
        add(page, "dimension", name)
        write(page, f"dimension {name}: base size", base)
    section(page, "Materials")
    add(page, "role", "main")
    section(page, "Pieces")
    add(page, "piece", "panel")
    write(page, "piece panel: used as", "front, back")
    page.get_by_role("link", name="panel", exact=True).click()
    expect(page.locator("#drawing").get_by_text("A panel")).to_be_visible()
    choose(page, "edge top: fate", "hemmed twice")
    write(page, "edge top: allowance", "25 mm")
    for edge in ("right", "bottom", "left"):
        choose(page, f"edge {edge}: further finish", "overcast")
    section(page, "Seams")
    for name, one, other in (
        ("side", "front.right", "back.left"),
        ("side_2", "front.left", "back.right"),
        ("bottom", "front.bottom", "back.bottom"),
    ):
        add(page, "seam", name)
        write(page, f"seam {name.replace('_', ' ')}: join", one)
        write(page, f"seam {name.replace('_', ' ')}: to", other)
    section(page, "Sizes")
    add(page, "size", "mini")
    write(page, "size mini: scale", "7/10")
    section(page, "Steps")
    page.get_by_role("button", name="Add step").click()
    write(page, "step 1: text", "Sew the sides ({side.length} each) and the bottom.")
    write(page, "step 1: makes seams", "side, side_2, bottom")
    page.get_by_role("button", name="Add step").click()
    write(page, "step 2: text", "Turn the upper edge twice, {panel.top.allowance} in all, and stitch.")
    page.get_by_role("button", name="More of step 2").click()
    write(page, "step 2: finishes edges", "front.top, back.top")
    expect(page.locator(".title-block")).to_contain_text("sound")
    assert document_of(server, page)["seams"]["side_2"] == {"join": ["front.left"], "to": ["back.right"]}

    page.get_by_role("button", name="Publish as a pattern").click()
    page.wait_for_url("**/revisions/*")
    row = page.get_by_role("row", name=re.compile("^width"))
    assert row.get_by_role("cell").all_inner_texts() == ["360 mm", "252 mm"]
    page.get_by_role("button", name="Cut list of mini").click()
    page.wait_for_url("**/desk/grades/*")
    # 7/10 of 360 and 380, 10 mm at three sides, 25 mm at the hem: 252 + 20 and 266 + 10 + 25.
    cut = page.get_by_role("row", name=re.compile("panel"))
    expect(cut).to_contain_text("272 mm")
    expect(cut).to_contain_text("301 mm")
    printed = page.pdf()
    assert printed.startswith(b"%PDF")
    page.emulate_media(media="print")
    expect(page.get_by_role("heading", name="Cut list")).to_be_visible()
    expect(page.get_by_role("navigation", name="Places")).to_be_hidden()


def test_a_fault_stands_beside_its_field_and_its_seam_is_lit(server: Server, window: Page) -> None:
    document = demo("market_tote")
    window.goto(f"{begun(server, document)}?section=seams")
    write(window, "seam bottom: to", "back.botom")
    field = window.get_by_label("seam bottom: to", exact=True)
    expect(field).to_have_attribute("aria-invalid", "true")
    told = window.locator(f"[id='{field.get_attribute('aria-describedby')}']")
    expect(told).to_contain_text("botom")
    lit = window.locator("#drawing .lit")
    assert "panel.bottom" in [line.get_attribute("data-name") for line in lit.all()]
    write(window, "seam bottom: to", "back.bottom")
    expect(window.get_by_label("seam bottom: to", exact=True)).not_to_have_attribute("aria-invalid", "true")
    assert document_of(server, window) == document


def test_what_is_renamed_is_renamed_wherever_it_is_named(server: Server, window: Page) -> None:
    address = begun(server, demo("market_tote"))
    window.goto(f"{address}?section=pieces&opened=panel")
    write(window, "edge 1: name", "mouth_edge")
    expect(window.locator(".title-block")).to_contain_text("edge panel.top renamed mouth_edge")
    expect(window.locator(".title-block")).to_contain_text("sound")
    window.goto(f"{address}?section=dimensions")
    window.get_by_text("Rename dimension", exact=True).click()
    window.get_by_label("Dimension to rename").select_option("width")
    window.get_by_label("New name of the dimension").fill("breadth")
    window.locator("#rename-dimensions").click()
    expect(window.get_by_label("dimension breadth: base size")).to_be_visible()
    expect(window.locator(".title-block")).to_contain_text("sound")
    document = document_of(server, window)
    assert document["seams"]["mouth"]["join"] == ["front.mouth_edge", "back.mouth_edge"]
    assert document["order"]["choose"]["breadth"] == ["240 mm", "500 mm"]
    window.keyboard.press("Control+z")
    expect(window.get_by_label("dimension width: base size")).to_be_visible()


def test_a_change_is_taken_back_and_made_again_by_the_keys(server: Server, window: Page) -> None:
    window.goto(f"{begun(server, small())}?section=dimensions")
    write(window, "dimension width: base size", "400")
    field = window.get_by_label("dimension width: base size", exact=True)
    window.keyboard.press("Control+z")
    expect(field).to_have_value("200")
    window.keyboard.press("Control+Shift+z")
    expect(field).to_have_value("400")


def test_fields_left_in_quick_succession_are_all_kept(server: Server, window: Page) -> None:
    window.goto(f"{begun(server, small())}?section=dimensions")
    for name, base in (("width", "201"), ("height", "181"), ("depth", "61")):
        field = window.get_by_label(f"dimension {name}: base size", exact=True)
        field.fill(base)
        field.press("Tab")
    window.get_by_role("button", name="Move dimension depth up").click()
    expect(window.locator(".title-block")).to_contain_text("moved up")
    dimensions = document_of(server, window)["dimensions"]
    assert list(dimensions)[:3] == ["width", "depth", "height"]
    assert [dimensions[name]["base"] for name in ("width", "height", "depth")] == [201, 181, 61]


def test_every_page_of_the_designer_is_accessible_and_fits_a_phone(
    server: Server, window: Page, axe: Axe, pictured: Pictured
) -> None:
    document = demo("market_tote")
    pattern = server.ask("POST", "/patterns", {"document": document})
    revision = f"/patterns/{pattern['id']}/revisions/{pattern['head']}"
    grade = server.ask("POST", f"{revision}/grades", {"size": "mini"})
    draft = begun(server, document)
    places = {
        "sign_in": "/desk/sign-in",
        "desk": "/desk",
        "import": "/desk/import",
        "pattern": f"/desk/patterns/{pattern['id']}",
        "revision": f"/desk{revision}",
        "trials": f"/desk{revision}/trials",
        "substitution": f"/desk{revision}/substitution",
        "grade": f"/desk/grades/{grade['id']}",
        "draft_json": f"{draft}/document",
        "draft_history": f"{draft}/history",
        "draft_piece": f"{draft}?section=pieces&opened=panel",
        **{
            f"draft_{name}": f"{draft}?section={name}"
            for name in ("sheet", "dimensions", "materials", "pieces", "seams", "coverings", "findings", "rules")
        },
        **{f"draft_{name}": f"{draft}?section={name}" for name in ("contents", "sizes", "steps", "order")},
        "draft_size": f"{draft}?section=sizes&opened=mini",
    }
    for name, address in places.items():
        window.goto(address)
        assert axe(window) == [], name
        if name.startswith("draft_"):
            assert clipped(window) == [], name
            assert window.locator(".sight").count() == 0 or beside(window), name
        if name not in UNPICTURED:
            pictured(window, f"designer_{name}")
    window.emulate_media(color_scheme="dark")
    window.goto(places["draft_dimensions"])
    assert axe(window) == []


def clipped(page: Page) -> list[str]:
    """Tables that are wider than the room they have, at the 1280 pixels of these windows."""
    found: list[str] = page.evaluate(
        "() => [...document.querySelectorAll('.scroll')].filter((each) => each.scrollWidth > each.clientWidth)"
        ".map((each) => `${each.getAttribute('aria-labelledby')}: ${each.scrollWidth} of ${each.clientWidth}`)"
    )
    return found


def beside(page: Page) -> bool:
    """Whether the drawing stands beside the tables, and not below them."""
    boxes = [page.locator(part).bounding_box() for part in (".words", ".sight")]
    return boxes[0] is not None and boxes[1] is not None and boxes[0]["y"] == boxes[1]["y"]


def test_the_first_view_of_each_page_is_light(
    server: Server, window: Page, first_view_bytes: Callable[[Page, str], int]
) -> None:
    draft = begun(server, demo("market_tote"))
    window.goto("/desk")
    for address in ("/desk", f"{draft}?section=dimensions", f"{draft}?section=steps"):
        assert 10_000 < first_view_bytes(window, address) < 200_000, address
