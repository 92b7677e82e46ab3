"""Booklets by their addresses: with a scripted solver, and printed by the real tasks."""

from __future__ import annotations

import base64
import io
import json
from collections.abc import Iterator
from typing import Any

import pypdf
import pytest

from api.jobs import booklets
from api.jobs.tasks import TASKS
from api.jobs.worker import Refusal
from api.settings import Settings
from grading.pipeline import grade_document, grade_size, read_document
from tests.api.conftest import Client
from tests.api.support import NO_PATTERN, NOWHERE, ScriptedSolver, signed_in
from tests.patterns import changed, pouch

PDF = {"Accept": "application/pdf"}


class Printer(ScriptedSolver):
    """A solver whose booklets are the names of the tasks and what they were asked for."""

    async def run(self, task: str, **arguments: Any) -> Any:
        if task not in {"booklet", "whole_booklet"}:
            return await super().run(task, **arguments)
        self.asked.append((task, arguments))
        told = {name: arguments.get(name) for name in ("paper", "lay")} | {"laid": bool(arguments.get("layouts"))}
        return base64.b64encode(json.dumps([task, told]).encode()).decode()


@pytest.fixture
def solver() -> Printer:
    return Printer()


@pytest.fixture
def working(settings: Settings) -> Iterator[Client]:
    """A client of a server with workers of its own."""
    with signed_in(settings) as client:
        yield client


def of_revision(pattern: dict[str, str]) -> str:
    return f"/patterns/{pattern['id']}/revisions/{pattern['head']}/booklet"


def test_a_booklet_of_a_grade_comes_as_pdf_with_a_tag(client: Client, grade: dict[str, str]) -> None:
    answer = client.get(f"/grades/{grade['id']}/booklet", headers=PDF)
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/pdf")
    assert answer.headers["content-disposition"] == 'inline; filename="booklet.pdf"'
    assert answer.json() == ["booklet", {"paper": "A4", "lay": None, "laid": False}]
    known = {"If-None-Match": answer.headers["etag"]}
    assert client.get(f"/grades/{grade['id']}/booklet", headers=known).status_code == 304


def test_paper_and_layouts_are_asked_for_in_the_address(client: Client, grade: dict[str, str]) -> None:
    laid = client.post(f"/grades/{grade['id']}/layouts", json={}, headers={"Prefer": "wait=20"}).json()["id"]
    answer = client.get(f"/grades/{grade['id']}/booklet", params={"paper": "letter", "layouts": laid})
    assert answer.json() == ["booklet", {"paper": "letter", "lay": None, "laid": True}]


def test_all_sizes_are_laid_out_unless_it_is_not_wanted(client: Client, pattern: dict[str, str]) -> None:
    laid, plain = (client.get(of_revision(pattern), params={"lay": lay}).json() for lay in ("quick", "none"))
    assert laid == client.get(of_revision(pattern)).json()
    assert (laid[1]["lay"], plain[1]["lay"]) == (True, False)


@pytest.mark.parametrize("query", ["paper=A3", "paper=a4", "paper=A4&paper=A4", "layouts=x", "size=mini"])
def test_what_is_not_offered_is_refused_with_its_place(client: Client, grade: dict[str, str], query: str) -> None:
    answer = client.get(f"/grades/{grade['id']}/booklet?{query}")
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faults")
    assert answer.json()["faults"][0]["path"] == f"query.{query.partition('=')[0]}"


def test_layouts_of_another_grade_are_refused(client: Client, pattern: dict[str, str]) -> None:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/grades"
    base, mini = (client.post(address, json={"size": size}).json()["id"] for size in ("base", "mini"))
    laid = client.post(f"/grades/{base}/layouts", json={}, headers={"Prefer": "wait=20"}).json()["id"]
    answer = client.get(f"/grades/{mini}/booklet", params={"layouts": laid})
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["path"] == "query.layouts"


def test_only_pdf_is_printed(client: Client, grade: dict[str, str], pattern: dict[str, str]) -> None:
    for address in (f"/grades/{grade['id']}/booklet", of_revision(pattern)):
        assert client.get(address, headers={"Accept": "application/json"}).status_code == 406


def test_booklets_of_what_does_not_exist_are_not_found(client: Client, pattern: dict[str, str]) -> None:
    nowhere = {"id": NO_PATTERN, "head": pattern["head"]}
    addresses = (f"/grades/{NOWHERE}/booklet", of_revision(nowhere), of_revision({**pattern, "head": NOWHERE}))
    assert [client.get(address).status_code for address in addresses] == [404, 404, 404]


def test_a_real_grade_is_printed_by_a_real_worker(working: Client) -> None:
    stored = working.post("/patterns", json={"document": pouch()}).json()
    address = f"/patterns/{stored['id']}/revisions/{stored['head']}/grades"
    grade = working.post(address, json={"size": "wide"}).json()["id"]
    one = working.get(f"/grades/{grade}/booklet", headers=PDF)
    whole = working.get(of_revision(stored), params={"lay": "none"}, headers=PDF)
    titles = [pypdf.PdfReader(io.BytesIO(answer.content)).metadata for answer in (one, whole)]
    assert [found.title if found else None for found in titles] == [
        "Flat pouch, size wide: metric edition",
        "Flat pouch, sizes base and wide: metric edition",
    ]
    again = working.get(f"/grades/{grade}/booklet", headers={"If-None-Match": one.headers["etag"]})
    assert again.status_code == 304


def test_a_grade_on_the_other_ruler_is_refused_by_the_task() -> None:
    document = changed(pouch(), "edition", {"system": "metric"})
    text, grade = json.dumps(document), grade_size(read_document(document), request={"scale": 1, "ruler": "1/8 in"})
    arguments = {"document": text, "size": None, "request": {"scale": 1, "ruler": "1/8 in"}, "ruler": None}
    stored = json.dumps(grade_document(grade), ensure_ascii=False)
    with pytest.raises(Refusal) as refused:
        booklets.of_grade({**arguments, "grade": stored, "layouts": None, "paper": "A4"}, lambda: False)
    assert refused.value.content["kind"] == "request"
    assert [fault["path"] for fault in refused.value.content["faults"]] == ["ruler"]


def test_a_booklet_that_would_take_too_long_is_given_up() -> None:
    with pytest.raises(Refusal) as refused:
        TASKS["whole_booklet"]({"document": json.dumps(pouch()), "paper": "A4", "lay": True}, lambda: True)
    assert refused.value.content["kind"] == "stopped"
