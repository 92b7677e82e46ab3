"""The demo patterns through the whole server, workers included, and documents that are wrong on purpose."""

from __future__ import annotations

import copy
import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from api.settings import Settings
from tests.api.support import signed_in

Client = TestClient[Litestar]
Document = dict[str, Any]
DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"
NAMES = sorted(path.stem for path in DEMO.glob("*.json"))


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("real") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


@pytest.fixture
def tote() -> Document:
    return _document("market_tote")


def _document(name: str) -> Document:
    document: Document = json.loads((DEMO / f"{name}.json").read_text(encoding="utf-8"))
    return document


def _grades(client: Client, document: Document) -> str:
    answer = client.post("/patterns", json={"document": document})
    assert answer.status_code == 201, answer.text
    stored = answer.json()
    return f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"


@pytest.mark.parametrize("size", ["base", "mini", "large"])
@pytest.mark.parametrize("name", NAMES)
def test_a_demo_pattern_is_graded_and_every_claim_is_proven(client: Client, name: str, size: str) -> None:
    document = _document(name)
    made = client.post(_grades(client, document), json={"size": size})
    assert made.status_code == 201, made.text
    address = made.headers["location"]
    grade, proof = client.get(address).json(), client.get(f"{address}/proof").json()
    assert (grade["kind"], grade["size"]["name"]) == ("grade", size)
    assert proof["holding"] == len(proof["claims"]) > 100
    stored = client.post("/verifications", json={"grade_id": made.json()["id"]}).json()
    posted = client.post("/verifications", json={"document": document, "grade": grade}).json()
    assert stored["holds"], stored["failing"]
    assert stored == posted


def test_the_cut_list_is_the_same_as_rows_and_as_a_table(client: Client, tote: Document) -> None:
    address = client.post(_grades(client, tote), json={"size": "mini"}).headers["location"]
    rows = client.get(f"{address}/cut-list").json()["rows"]
    table = list(csv.DictReader(io.StringIO(client.get(f"{address}/cut-list", headers={"Accept": "text/csv"}).text)))
    assert len(table) == len(rows) > 5
    assert rows == client.get(address).json()["cut_list"]


def test_a_changed_number_is_found(client: Client, tote: Document) -> None:
    made = client.post(_grades(client, tote), json={"size": "mini"})
    grade = client.get(made.headers["location"]).json()
    width = grade["dimensions"]["width"]["value"]
    grade["dimensions"]["width"]["value"] = f"{int(width.split()[0]) + 1} mm"
    verdict = client.post("/verifications", json={"document": tote, "grade": grade})
    assert (verdict.status_code, verdict.json()["holds"]) == (200, False)


@pytest.mark.parametrize("grade", [{}, {"kind": "grade"}, {"format": 1, "kind": "grade", "pieces": []}])
def test_a_grade_that_cannot_be_read_is_a_fault(client: Client, tote: Document, grade: Document) -> None:
    answer = client.post("/verifications", json={"document": tote, "grade": grade})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["problem"]


def test_a_size_of_ones_own_with_another_ruler(client: Client, tote: Document) -> None:
    asked = {"request": {"set": {"width": "400 mm"}}, "ruler": "1/8 in"}
    made = client.post(_grades(client, tote), json=asked)
    grade = client.get(made.headers["location"]).json()
    assert made.status_code == 201
    assert (grade["ruler"], grade["size"]["name"]) == ("1/8 in", None)
    named = client.post(_grades(client, tote), json={"size": "mini", "ruler": "1/8 in"})
    assert client.get(named.headers["location"]).json()["ruler"] == "1/8 in"


@pytest.mark.parametrize(
    "asked",
    [
        {"size": "enormous"},
        {"size": "enormous", "ruler": "1 mm"},
        {"request": {}},
        {"request": {"scale": 0}},
        {"request": {"scale": "-1"}},
        {"request": {"scale": "10000"}},
        {"request": {"scale": "9**9**9"}},
        {"request": {"set": {"no_such": "1 m"}}},
        {"request": {"set": {"width": "1 kg"}}},
        {"request": {"set": {}}},
        {"request": {"scale": 1, "unknown": 1}},
        {"request": {"scale": 1}, "ruler": "0 mm"},
        {"request": {"scale": 1}, "ruler": "-1 mm"},
        {"request": {"scale": 1}, "ruler": "soon"},
    ],
)
def test_a_request_that_cannot_be_used_names_its_faults(client: Client, tote: Document, asked: Document) -> None:
    answer = client.post(_grades(client, tote), json=asked)
    assert answer.status_code == 422, answer.text
    assert all(fault["path"] and fault["problem"] and fault["remedy"] for fault in answer.json()["faults"])


def test_a_size_beyond_the_limits_is_a_conflict_in_words(client: Client, tote: Document) -> None:
    answer = client.post(_grades(client, tote), json={"request": {"set": {"width": "5 mm"}}})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/conflict"), answer.text
    assert answer.json()["relations"]
    assert all(relation["says"] and relation["path"] for relation in answer.json()["relations"])


def _unknown_dimension(document: Document) -> None:
    document["rules"]["odd"] = {"holds": "no_such >= 1", "because": "it is odd"}


def _edge_that_does_not_exist(document: Document) -> None:
    next(iter(document["seams"].values()))["join"] = ["front.no_such"]


def _outline_that_does_not_close(document: Document) -> None:
    edges = [{"name": "a", "to": ["width", 0]}, {"name": "b", "to": ["width", "-height"]}, {"name": "c", "to": [5, 0]}]
    next(iter(document["pieces"].values()))["outline"] = {"start": [0, 0], "edges": edges}


def _contradictory_rules(document: Document) -> None:
    document["rules"]["more"] = {"holds": "width >= 300", "because": "it must be wide"}
    document["rules"]["less"] = {"holds": "width <= 299", "because": "it must be narrow"}


def _zero_length(document: Document) -> None:
    document["dimensions"]["width"]["base"] = 0


def _absurd_length(document: Document) -> None:
    document["dimensions"]["width"]["base"] = "1000000 m"


def _length_that_is_negative(document: Document) -> None:
    next(iter(document["pieces"].values()))["outline"] = {"rectangle": ["width - 20000", "height"]}


def _definition_in_a_circle(document: Document) -> None:
    document["dimensions"]["width"]["base"] = "width + 1"


def _expression(text: str) -> Any:
    def spoil(document: Document) -> None:
        document["rules"]["hostile"] = {"holds": f"{text} >= 1", "because": "of nothing"}

    spoil.__name__ = text[:20]
    return spoil


WRONG = [
    _unknown_dimension,
    _edge_that_does_not_exist,
    _outline_that_does_not_close,
    _contradictory_rules,
    _zero_length,
    _absurd_length,
    _length_that_is_negative,
    _definition_in_a_circle,
    _expression("9**9**9"),
    _expression("(" * 400 + "width" + ")" * 400),
    _expression("width.__class__"),
    _expression("__import__('os').system('true')"),
    _expression("9" * 400),
    _expression("[width for width in width]"),
    _expression("lambda: width"),
    _expression("width if width else width"),
    _expression("1/0"),
]


@pytest.mark.parametrize("spoil", WRONG, ids=lambda spoil: spoil.__name__)
def test_a_document_that_is_wrong_is_refused_with_places_and_remedies(
    client: Client, tote: Document, spoil: Any
) -> None:
    before = client.get("/patterns").json()["total"]
    wrong = copy.deepcopy(tote)
    spoil(wrong)
    answer = client.post("/patterns", json={"document": wrong})
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults"), answer.text
    assert all(fault["path"] and fault["problem"] and fault["remedy"] for fault in answer.json()["faults"])
    assert client.post("/checks", json={"document": wrong}).json()["faults"] == answer.json()["faults"]
    assert client.get("/patterns").json()["total"] == before


def test_several_faults_come_at_once(client: Client, tote: Document) -> None:
    _unknown_dimension(tote)
    _edge_that_does_not_exist(tote)
    paths = {fault["path"] for fault in client.post("/checks", json={"document": tote}).json()["faults"]}
    assert "rules.odd.holds" in paths
    assert any(path.startswith("seams.") for path in paths)


def test_a_sound_draft_may_have_remarks(client: Client, tote: Document) -> None:
    assert client.post("/checks", json={"document": tote}).json()["remarks"] == []
    tote["stock"] = {**tote.get("stock", {}), "spare_parts": ["10 mm"]}
    answer = client.post("/checks", json={"document": tote}).json()
    assert (answer["sound"], answer["faults"]) == (True, [])
    assert [(remark["path"], bool(remark["remedy"])) for remark in answer["remarks"]] == [("stock.spare_parts", True)]


def test_measured_pieces_are_judged_seam_by_seam(client: Client, tote: Document) -> None:
    seams = tote["seams"]
    assert seams
    measured = {"uncertainty": "1 mm", "pieces": {}}
    verdict = client.post("/verifications", json={"document": tote, "measured": measured})
    assert verdict.status_code == 200, verdict.text
    assert set(verdict.json()["unmeasured"]) == set(seams)
    wrong = client.post("/verifications", json={"document": tote, "measured": {"pieces": {"no_such": {}}}})
    assert wrong.status_code == 422
