"""Templates and cutting layouts by their addresses, drawn by real workers."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pypdf
import pytest
from litestar import Litestar
from litestar.testing import TestClient

from api.settings import Settings
from tests.api.support import NOWHERE, signed_in

Client = TestClient[Litestar]
DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"
PDF, SVG, DXF = "application/pdf", "image/svg+xml", "image/vnd.dxf"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("sheets") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


@pytest.fixture(scope="module")
def revision(client: Client) -> str:
    document = json.loads((DEMO / "market_tote.json").read_text(encoding="utf-8"))
    stored = client.post("/patterns", json={"document": document})
    assert stored.status_code == 201, stored.text
    return f"/patterns/{stored.json()['id']}/revisions/{stored.json()['head']}"


@pytest.fixture(scope="module")
def grade(client: Client, revision: str) -> str:
    made = client.post(f"{revision}/grades", json={"size": "mini"})
    assert made.status_code == 201, made.text
    return str(made.headers["location"])


def test_templates_of_a_grade_are_a_pdf(client: Client, grade: str) -> None:
    answer = client.get(f"{grade}/sheets", params={"paper": "A3"})
    assert (answer.status_code, answer.headers["content-type"]) == (200, PDF)
    reader = pypdf.PdfReader(io.BytesIO(answer.content))
    assert reader.metadata is not None
    assert reader.metadata.title == "Market tote, mini: templates"
    # ISO 216: A3 is 297 × 420 mm.
    assert [float(each) * 25.4 / 72 for each in reader.pages[0].mediabox[2:]] == pytest.approx([297, 420], abs=0.01)


def test_they_are_svg_and_dxf_where_that_is_wanted(client: Client, grade: str) -> None:
    drawn = client.get(f"{grade}/sheets", headers={"Accept": SVG})
    assert drawn.headers["content-type"].startswith(SVG)
    assert ElementTree.fromstring(drawn.content).tag == "{http://www.w3.org/2000/svg}svg"
    drawing = client.get(f"{grade}/sheets", headers={"Accept": DXF})
    assert drawing.headers["content-type"] == DXF
    read = ezdxf.read(io.StringIO(drawing.content.decode("cp1252")))  # type: ignore[attr-defined]
    assert "A_panel_mini" in read.blocks
    assert client.get(f"{grade}/sheets", headers={"Accept": "image/png"}).status_code == 406


def test_only_the_pieces_that_are_asked_for_are_drawn(client: Client, grade: str) -> None:
    few = client.get(f"{grade}/sheets", params={"pieces": "tab,pocket"}, headers={"Accept": SVG})
    titles = {each.text for each in ElementTree.fromstring(few.content).iter("{http://www.w3.org/2000/svg}title")}
    assert titles == {"Market tote, mini", "B pocket", "H tab"}


def test_the_same_sheets_are_not_sent_twice(client: Client, grade: str) -> None:
    first = client.get(f"{grade}/sheets")
    assert first.headers["vary"] == "Accept"
    again = client.get(f"{grade}/sheets", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    other = client.get(f"{grade}/sheets", params={"measures": "rectangles"})
    assert other.headers["etag"] != first.headers["etag"]


def test_all_named_sizes_are_nested(client: Client, revision: str) -> None:
    answer = client.get(f"{revision}/sheets", params={"paper": "roll-36in", "corners": "large"})
    assert answer.status_code == 200, answer.text
    text = pypdf.PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert "nested sizes base, mini, large" in text


@pytest.mark.parametrize(
    ("query", "path"),
    [
        ({"paper": "napkin"}, "query.paper"),
        ({"paper": "roll-5mm"}, "paper"),
        ({"pieces": "sleeve"}, "pieces"),
        ({"pieces": "tab,"}, "query.pieces"),
        ({"measures": "all"}, "query.measures"),
        ({"corners": "round"}, "query.corners"),
        ({"sheet": "1"}, "query.sheet"),
    ],
)
def test_what_is_asked_wrongly_is_told(client: Client, grade: str, query: dict[str, str], path: str) -> None:
    answer = client.get(f"{grade}/sheets", params=query)
    assert answer.status_code == 422
    assert [fault["path"] for fault in answer.json()["faults"]] == [path]


def test_there_are_no_sheets_of_what_is_not_there(client: Client, revision: str) -> None:
    assert client.get(f"/grades/{NOWHERE}/sheets").status_code == 404
    assert client.get(f"/layouts/{NOWHERE}/sheets").status_code == 404
    assert client.get(f"{revision.rsplit('/', 1)[0]}/{NOWHERE}/sheets").status_code == 404


def test_layouts_are_printed_too(client: Client, grade: str) -> None:
    made = client.post(
        f"{grade}/layouts", json={"settings": {"effort": "quick", "widths": []}}, headers={"Prefer": "wait=60"}
    )
    assert made.status_code == 201, made.text
    answer = client.get(f"{made.headers['location']}/sheets", params={"paper": "letter"})
    assert answer.status_code == 200, answer.text
    reader = pypdf.PdfReader(io.BytesIO(answer.content))
    assert len(reader.pages) == 4
    assert "main: printed canvas, terns in flight" in reader.pages[0].extract_text()
    assert client.get(f"{made.headers['location']}/sheets", params={"paper": "roll-36in"}).status_code == 422
