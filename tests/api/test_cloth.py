"""Layouts, supplies, bulk and substitutions of the demo through the whole server, workers included."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from jsonschema import Draft202012Validator
from litestar import Litestar
from litestar.testing import TestClient

from api.schemas.substitutions import MOST_CHANGES
from api.settings import Settings
from grading.substitute import changes
from tests.api.support import NO_PATTERN, NOWHERE, signed_in

Client = TestClient[Litestar]
DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"
QUICK = {"effort": "quick"}
SOON = {"Prefer": "wait=60"}


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    database = tmp_path_factory.mktemp("cloth") / "sizewright.db"
    settings = Settings(database_url=f"sqlite+aiosqlite:///{database}", workers=2)
    with signed_in(settings) as started:
        yield started


@pytest.fixture(scope="module")
def tote(client: Client) -> dict[str, str]:
    """The addresses of the tote's revision, of its base size, and of the layouts of that."""
    document = json.loads((DEMO / "market_tote.json").read_text(encoding="utf-8"))
    stored = client.post("/patterns", json={"document": document}).json()
    revision = f"/patterns/{stored['id']}/revisions/{stored['head']}"
    grade = client.post(f"{revision}/grades", json={"size": "base"}).headers["location"]
    made = client.post(f"{grade}/layouts", json={"settings": QUICK}, headers=SOON)
    assert made.status_code == 201, made.text
    return {"revision": revision, "grade": grade, "layouts": made.headers["location"]}


def described(client: Client, name: str, content: object) -> None:
    """Checks content against the schema that the interface describes for it."""
    interface = client.get("/openapi.json").json()
    Draft202012Validator({"$ref": f"#/components/schemas/{name}", **interface}).validate(content)


def test_layouts_of_the_demo_are_as_described_and_every_claim_holds(client: Client, tote: dict[str, str]) -> None:
    laid = client.get(tote["layouts"]).json()
    described(client, "LayoutsDocument", laid)
    proof = client.get(f"{tote['layouts']}/proof").json()
    described(client, "GradeVerdict", proof)
    assert proof["holds"], proof["failing"]
    assert {"laid", "inside", "apart", "motif", "least"} <= proof["counts_by_kind"].keys()
    again = client.post(f"{tote['grade']}/layouts", json={"settings": QUICK}, headers=SOON)
    assert (again.status_code, again.headers["location"]) == (200, tote["layouts"])


def test_a_piece_laid_over_another_is_found(client: Client, tote: dict[str, str]) -> None:
    laid, grade = client.get(tote["layouts"]).json(), client.get(tote["grade"]).json()
    document = client.get(tote["revision"]).json()["document"]
    first, second, *_ = laid["cloths"]["lining"]["pieces"]
    second["x"], second["y"] = first["x"], first["y"]
    verdict = client.post("/verifications", json={"document": document, "grade": grade, "layouts": laid}).json()
    assert "apart:lining" in [claim["about"] for claim in verdict["failing"]]


def test_the_table_and_the_picture_show_every_piece(client: Client, tote: dict[str, str]) -> None:
    laid = client.get(tote["layouts"]).json()
    table = client.get(tote["layouts"], headers={"Accept": "text/csv"}).text
    pieces = [piece for layout in laid["cloths"].values() for piece in layout["pieces"]]
    assert len(list(csv.DictReader(io.StringIO(table)))) == len(pieces)
    whole, one = (
        client.get(f"{tote['layouts']}{query}", headers={"Accept": "image/svg+xml"}) for query in ("", "?cloth=lining")
    )
    assert ElementTree.fromstring(whole.text).tag.endswith("svg")
    assert len(one.text) < len(whole.text)
    assert "lining" in one.text


def test_an_answer_within_a_second_is_a_layout_too(client: Client, tote: dict[str, str]) -> None:
    hurried = client.post(
        f"{tote['grade']}/layouts", json={"settings": {"effort": "thorough"}, "seconds": 0.1}, headers=SOON
    )
    assert hurried.status_code == 201, hurried.text
    laid = client.get(hurried.headers["location"]).json()
    described(client, "LayoutsDocument", laid)
    assert laid["cloths"].keys() == client.get(tote["layouts"]).json()["cloths"].keys()
    assert client.get(f"{hurried.headers['location']}/proof").json()["holds"]


def test_what_takes_long_is_a_job_whose_progress_is_as_described(client: Client, tote: dict[str, str]) -> None:
    asked = {"settings": {"effort": "usual", "widths": []}}
    begun = client.post(f"{tote['grade']}/layouts", json=asked, headers={"Prefer": "respond-async"})
    assert begun.status_code == 202
    done = client.post(f"{tote['grade']}/layouts", json=asked, headers=SOON)
    assert done.status_code in {200, 201}
    job = client.get(begun.headers["location"]).json()
    described(client, "Job", job)
    assert (job["state"], job["result"]) == ("done", done.headers["location"])
    laid = client.get(job["result"]).json()["cloths"]
    told = {role: (each["length"], each["least"]["length"], each["above"]) for role, each in laid.items()}
    assert {role: (each["length"], each["least"], each["above"]) for role, each in job["progress"].items()} == told


def test_a_cancelled_search_gives_its_worker_back(client: Client, tote: dict[str, str]) -> None:
    asked = {"settings": {"effort": "thorough", "seed": 7}}
    begun = client.post(f"{tote['grade']}/layouts", json=asked, headers={"Prefer": "respond-async"})
    assert client.delete(begun.headers["location"]).status_code == 204
    assert client.get(begun.headers["location"]).json()["state"] == "cancelled"
    assert client.get(f"{tote['grade']}/bulk").status_code == 200


@pytest.mark.parametrize(
    ("settings", "paths"),
    [
        ({"gap": "-1 mm", "edge": "1 kg"}, {"settings.gap", "settings.edge"}),
        ({"effort": "endless"}, {"settings.effort"}),
        ({"cloths": {"velvet": {}}}, {"settings.cloths.velvet"}),
        ({"sort": "neat"}, {"settings.sort"}),
    ],
)
def test_settings_that_cannot_be_are_named(
    client: Client, tote: dict[str, str], settings: dict[str, Any], paths: set[str]
) -> None:
    answer = client.post(f"{tote['grade']}/layouts", json={"settings": settings}, headers=SOON)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults"), answer.text
    assert {fault["path"] for fault in answer.json()["faults"]} == paths


def test_a_cloth_that_is_too_narrow_says_what_would_help(client: Client, tote: dict[str, str]) -> None:
    narrow = {"settings": {"cloths": {"lining": {"usable_width": "200 mm"}}}}
    answer = client.post(f"{tote['grade']}/layouts", json=narrow, headers=SOON)
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/does-not-fit"), answer.text
    (fault,) = answer.json()["faults"]
    assert fault["path"].startswith("pieces.")
    assert "200 mm" not in fault["remedy"]
    assert "usable width" in fault["remedy"]


def test_supplies_come_with_cloth_where_layouts_are_named_and_their_claims_hold(
    client: Client, tote: dict[str, str]
) -> None:
    name = tote["layouts"].rpartition("/")[2]
    bare = client.get(f"{tote['grade']}/supplies").json()
    full = client.get(f"{tote['grade']}/supplies?layouts={name}").json()
    for supplies in (bare, full):
        described(client, "Supplies", supplies)
    assert {row["kind"] for row in full["rows"]} - {row["kind"] for row in bare["rows"]} == {"cloth", "sheet"}
    sent = {
        "document": client.get(tote["revision"]).json()["document"],
        "grade": client.get(tote["grade"]).json(),
        "supplies": full,
        "layouts": client.get(tote["layouts"]).json(),
    }
    verdict = client.post("/verifications", json=sent).json()
    assert verdict["holds"], verdict["failing"]
    table = client.get(f"{tote['grade']}/supplies", headers={"Accept": "text/csv"})
    assert [row["name"] for row in csv.DictReader(io.StringIO(table.text)) if row["kind"] == "webbing"] == [
        row["name"] for row in bare["rows"] if row["kind"] == "webbing"
    ]


def test_settings_of_supplies_and_bulk_are_taken_or_named(client: Client, tote: dict[str, str]) -> None:
    counted = client.post(f"{tote['grade']}/supplies", json={"settings": {"waste": "30 %"}})
    assert counted.json()["settings"]["waste"] == "30 %"
    thick = client.post(f"{tote['grade']}/bulk", json={"settings": {"lift": "1 mm"}}).json()
    described(client, "Bulk", thick)
    assert len([place for place in thick["places"] if place["over"]]) > len(
        [place for place in client.get(f"{tote['grade']}/bulk").json()["places"] if place["over"]]
    )
    for part, settings in (("supplies", {"waste": "-1 %"}), ("bulk", {"lift": "0 mm"})):
        answer = client.post(f"{tote['grade']}/{part}", json={"settings": settings})
        assert (answer.status_code, answer.json()["faults"][0]["path"]) == (422, f"settings.{next(iter(settings))}")


def test_a_substitution_gives_a_document_that_can_be_stored_and_the_cloth_before_and_after(
    client: Client, tote: dict[str, str]
) -> None:
    before = client.get("/patterns").json()
    asked = {"changes": [{"toile": "main"}], "size": "mini", "settings": QUICK}
    answer = client.post(f"{tote['revision']}/substitutions", json=asked)
    assert answer.status_code == 200, answer.text
    found = answer.json()
    described(client, "Substitution", found)
    assert client.get("/patterns").json() == before
    lining = next(cloth for cloth in found["cloths"] if cloth["material"] == "lining")
    assert (lining["before"] is None, lining["after"]) == (False, None)
    assert client.post("/patterns", json={"document": found["document"]}).status_code == 201


@pytest.mark.parametrize(
    ("asked", "path"),
    [
        ({"changes": [{"toile": "velvet"}], "size": "base"}, "changes.0"),
        ({"changes": [{"split": "panel"}], "size": "base"}, "changes.0"),
        ({"changes": [{"toile": "main"}], "size": "enormous"}, "size"),
        ({"changes": [], "size": "base"}, "changes"),
        ({"changes": [{"toile": "main"}]}, "$"),
        ({"changes": [{"toile": "main"}], "size": "base", "settings": {"gap": "1 kg"}}, "settings.gap"),
    ],
)
def test_changes_that_cannot_be_made_are_named(
    client: Client, tote: dict[str, str], asked: dict[str, Any], path: str
) -> None:
    answer = client.post(f"{tote['revision']}/substitutions", json=asked)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults"), answer.text
    assert any(fault["path"].startswith(path) for fault in answer.json()["faults"]), answer.text


def test_the_limits_of_library_and_interface_are_the_same() -> None:
    assert MOST_CHANGES == changes.MOST_CHANGES


def test_a_map_of_other_options_than_the_usual_ones(client: Client, tote: dict[str, str]) -> None:
    usual, other = (client.get(f"{tote['revision']}/map{query}") for query in ("", "?option=sleeve:without"))
    assert (usual.json()["options"], other.json()["options"]) == ({"sleeve": "with"}, {"sleeve": "without"})
    for query, path in (
        ("option=sleeve:perhaps", "query.option.sleeve"),
        ("option=engine:diesel", "query.option.engine"),
        ("option=sleeve:with,sleeve:without", "query.option.sleeve"),
        ("option=sleeve", "query.option"),
        ("option=", "query.option"),
        ("option=sleeve:with%0A", "query.option"),
    ):
        answer = client.get(f"{tote['revision']}/map?{query}")
        assert (answer.status_code, answer.json()["faults"][0]["path"]) == (422, path), answer.text


def test_nothing_is_laid_of_what_is_not_there(client: Client) -> None:
    for method, address, body in (
        ("GET", f"/grades/{NOWHERE}/supplies", None),
        ("POST", f"/grades/{NOWHERE}/supplies", {}),
        ("GET", f"/grades/{NOWHERE}/bulk", None),
        ("POST", f"/grades/{NOWHERE}/bulk", {}),
        (
            "POST",
            f"/patterns/{NO_PATTERN}/revisions/{NOWHERE}/substitutions",
            {"changes": [{"toile": "a"}], "size": "base"},
        ),
    ):
        assert client.request(method, address, json=body).status_code == 404


def test_a_substitution_may_be_of_a_size_of_ones_own(client: Client, tote: dict[str, str]) -> None:
    asked = {"changes": [{"toile": "main"}], "request": {"scale": "9/10"}, "ruler": "2 mm", "settings": QUICK}
    answer = client.post(f"{tote['revision']}/substitutions", json=asked)
    assert answer.status_code == 200, answer.text
    described(client, "Substitution", answer.json())
    assert answer.json()["size"] is None
