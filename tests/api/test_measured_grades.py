"""Pieces measured at the table and judged by a stored grade, by real workers."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from api.settings import Settings
from tests.api.support import NOWHERE, signed_in

Client = TestClient[Litestar]
TOTE = Path(__file__).parents[2] / "demo_requests" / "patterns" / "market_tote.json"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("measured") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=1)
    with signed_in(settings) as started:
        yield started


@pytest.fixture(scope="module")
def grades(client: Client) -> str:
    stored = client.post("/patterns", json={"document": json.loads(TOTE.read_text(encoding="utf-8"))}).json()
    return f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"


def _judged(client: Client, grade: str, front: str, back: str, way: str = "stitched") -> dict[str, Any]:
    pieces = {"front": {"right": {way: front}}, "back": {"left": {way: back}}}
    measured = {"uncertainty": "0.5 mm", "pieces": pieces}
    answer = client.post("/verifications", json={"grade_id": grade, "measured": measured})
    assert answer.status_code == 200, answer.text
    (seam,) = answer.json()["seams"]
    return dict(seam)


@pytest.mark.parametrize(
    ("front", "verdict"),
    [
        ("380 mm", "joins"),  # within the tolerance of 1.5 mm, however it was measured
        ("382 mm", "joins within the measuring"),
        ("383.5 mm", "ease it in"),  # up to 1 % of 380 mm
        ("390 mm", "trim"),
    ],
)
def test_pieces_of_a_stored_grade_are_judged_seam_by_seam(
    client: Client, grades: str, front: str, verdict: str
) -> None:
    made = client.post(grades, json={"size": "base"}).json()
    assert _judged(client, made["id"], front, "380 mm")["verdict"] == verdict


def test_a_size_of_its_own_is_judged_by_its_own_request(client: Client, grades: str) -> None:
    request = {"set": {"height": "400 mm"}, "others": "at base", "options": {"sleeve": "without"}}
    made = client.post(grades, json={"request": request}).json()
    assert _judged(client, made["id"], "400 mm", "400 mm")["join"] == "400 mm"


def test_a_grade_on_another_ruler_is_judged_on_that_ruler(client: Client, grades: str) -> None:
    made = client.post(grades, json={"size": "mini", "ruler": "1/8 in"}).json()
    seam = _judged(client, made["id"], "10 1/2 in", "10 1/2 in")
    assert (seam["verdict"], seam["join"]) == ("joins", "10 1/2 in")


def test_a_cut_length_is_taken_without_its_allowances(client: Client, grades: str) -> None:
    made = client.post(grades, json={"size": "base"}).json()
    # Square corners at both ends, with 10 mm of allowance beyond each: 400 - 10 - 10.
    seam = _judged(client, made["id"], "400 mm", "402 mm", way="cut")
    assert (seam["join"], seam["to"], seam["difference"]) == ("380 mm", "382 mm", "-2 mm")


def test_a_grade_that_is_not_there_is_not_found(client: Client) -> None:
    sent = {"grade_id": NOWHERE, "measured": {"uncertainty": "1 mm", "pieces": {}}}
    assert client.post("/verifications", json=sent).status_code == 404


def test_measured_pieces_that_cannot_be_read_are_refused_with_their_place(client: Client, grades: str) -> None:
    made = client.post(grades, json={"size": "base"}).json()
    sent = {"grade_id": made["id"], "measured": {"uncertainty": "1 mm", "pieces": {"front": {"lid": {"cut": "1 mm"}}}}}
    answer = client.post("/verifications", json=sent)
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["path"] == "pieces.front.lid"


def test_a_grade_of_several_measures_comes_out_the_same_when_it_is_made_anew(client: Client, grades: str) -> None:
    """Whatever the order in which the measures were asked for: it is laid out, for which it is made anew."""
    request = {"set": {"width": "400 mm", "height": "390 mm"}, "others": "at base"}
    made = client.post(grades, json={"request": request}).json()
    sent = {"settings": {"effort": "quick", "widths": []}}
    laid = client.post(f"/grades/{made['id']}/layouts", json=sent, headers={"Prefer": "wait=30"})
    assert laid.status_code == 201, laid.text
