"""Pictures of the finished bag and of seams by their addresses, drawn by real workers."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from api.settings import Settings
from tests.api.support import NOWHERE, signed_in
from tests.patterns import sheet

Client = TestClient[Litestar]
DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"
SVG = "image/svg+xml"
CLOTHS = {
    "main": [{"name": "sea_green", "colours": ["#204060", "#ffffff"]}, {"name": "rust", "colours": ["#a04020"]}],
    "lining": [{"name": "undyed"}],
}


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("pictures") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


def _stored(client: Client, document: dict[str, Any]) -> dict[str, str]:
    stored = client.post("/patterns", json={"document": document})
    assert stored.status_code == 201, stored.text
    return dict(stored.json())


def _made(client: Client, stored: dict[str, str]) -> str:
    made = client.post(f"/patterns/{stored['id']}/revisions/{stored['head']}/grades", json={"size": "base"})
    assert made.status_code == 201, made.text
    return str(made.headers["location"])


def _graded(client: Client, document: dict[str, Any]) -> str:
    return _made(client, _stored(client, document))


def _document(name: str) -> dict[str, Any]:
    return dict(json.loads((DEMO / f"{name}.json").read_text(encoding="utf-8")))


@pytest.fixture(scope="module")
def tote(client: Client) -> str:
    document = _document("market_tote")
    document["order"] = {**document["order"], "cloths": CLOTHS}
    return _graded(client, document)


def _words(text: str) -> set[str]:
    return {each.text or "" for each in ElementTree.fromstring(text).iter("{http://www.w3.org/2000/svg}text")}


def test_the_bag_is_drawn_beside_a_sheet_of_a4(client: Client, tote: str) -> None:
    answer = client.get(f"{tote}/picture")
    assert (answer.status_code, answer.headers["content-type"]) == (200, SVG)
    assert {"360 mm", "380 mm", "120 mm", "sheet of A4", "210 × 297 mm"} <= _words(answer.text)


def test_the_bag_is_drawn_beside_a_card_and_measured_in_centimetres(client: Client, tote: str) -> None:
    shown = _words(client.get(f"{tote}/picture?beside=card&unit=cm").text)
    assert {"36 cm", "38 cm", "12 cm", "bank card"} <= shown


def test_the_usual_cloths_fill_the_picture_or_those_that_are_chosen(client: Client, tote: str) -> None:
    # Half way to white: (0x20 + 0xff) // 2 = 0x8f, (0xa0 + 0xff) // 2 = 0xcf, and so on.
    assert "#8f9faf" in client.get(f"{tote}/picture").text
    chosen = client.get(f"{tote}/picture?cloths=main:rust,lining:undyed").text
    assert "#cf9f8f" in chosen
    assert "#8f9faf" not in chosen


def test_a_cloth_that_is_not_offered_is_refused_with_those_that_are(client: Client, tote: str) -> None:
    answer = client.get(f"{tote}/picture?cloths=main:plaid")
    assert answer.status_code == 422
    (fault,) = answer.json()["faults"]
    assert fault["path"] == "query.cloths"
    assert "sea_green, rust" in fault["remedy"]


@pytest.mark.parametrize("query", ["beside=elephant", "unit=cubits", "cloths=main", "colour=red"])
def test_what_a_picture_does_not_know_is_refused(client: Client, tote: str, query: str) -> None:
    answer = client.get(f"{tote}/picture?{query}")
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["path"].startswith("query.")


def test_a_picture_that_is_at_hand_is_not_sent_again(client: Client, tote: str) -> None:
    first = client.get(f"{tote}/picture")
    again = client.get(f"{tote}/picture", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    other = client.get(f"{tote}/picture?beside=card", headers={"If-None-Match": first.headers["etag"]})
    assert other.status_code == 200


def test_a_picture_is_no_pdf(client: Client, tote: str) -> None:
    assert client.get(f"{tote}/picture", headers={"Accept": "application/pdf"}).status_code == 406
    assert client.get(f"{tote}/seams/side/picture", headers={"Accept": "text/html"}).status_code == 406


def test_both_sides_of_every_seam_are_drawn(client: Client, tote: str) -> None:
    for seam in client.get(tote).json()["seams"]:
        answer = client.get(f"{tote}/seams/{seam}/picture")
        assert (answer.status_code, answer.headers["content-type"]) == (200, SVG), seam
    assert {"front right: 380 mm", "back left: 380 mm"} <= _words(client.get(f"{tote}/seams/side/picture").text)


def test_a_seam_that_is_not_there_is_not_found(client: Client, tote: str) -> None:
    assert client.get(f"{tote}/seams/no_such_seam/picture").status_code == 404
    assert client.get(f"/grades/{NOWHERE}/picture").status_code == 404
    assert client.get(f"/grades/{NOWHERE}/seams/side/picture").status_code == 404


def test_a_bag_that_tells_no_size_says_what_it_needs(client: Client) -> None:
    document = sheet({"rectangle": [200, 100]})
    answer = client.get(f"{_graded(client, document)}/picture")
    assert answer.status_code == 422
    (fault,) = answer.json()["faults"]
    assert (fault["path"], "outside" in fault["remedy"]) == ("outside", True)


def test_a_form_shows_pictures_of_its_own_pattern_only(client: Client) -> None:
    own, other = (_stored(client, _document(name)) for name in ("market_tote", "allotment_tool_roll"))
    grades = [_made(client, each) for each in (own, other)]
    made = client.post(f"/patterns/{own['id']}/forms", json={"origins": ["https://shop.example"]})
    assert made.status_code == 201, made.text
    sent = {"Authorization": f"Bearer {made.json()['token']}"}
    assert client.get(f"{grades[0]}/picture", headers=sent).status_code == 200
    assert client.get(f"{grades[1]}/picture", headers=sent).status_code == 404
    assert client.get(f"{grades[0]}/seams/side/picture", headers=sent).status_code == 403
