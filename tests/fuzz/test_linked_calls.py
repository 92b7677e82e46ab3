"""Schemathesis goes from operation to operation by links, with valid data, on both kinds of database.

What an answer names (a pattern, a quote, an order, ...) is asked for in the next calls, so that they work on what is
stored. Calculations are answered at once; those that are not are asked in tests/contract, with all that they need.
"""

from __future__ import annotations

import copy
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, cast
from uuid import uuid4

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis.checks import CheckFunction
from schemathesis.core.failures import FailureGroup
from schemathesis.generation.modes import GenerationMode
from schemathesis.python import asgi
from schemathesis.specs.openapi.checks import (
    ignored_auth,
    positive_data_acceptance,
    response_schema_conformance,
)

from api.app import create_app
from api.description import interface_description
from api.resources.all import CONTROLLERS
from api.settings import Settings
from tests.api.shop import ShopSolver
from tests.api.support import second_workshop
from tests.benchmarks import demo

ADDRESS = f"http://{asgi.HOST}"
OFTEN = 1_000_000
SHOP = "https://shop.example"
"""A host that never is (RFC 2606)."""
SEQUENCES, STEPS = 20, 25
LEAST_FULFILLED = 40
"""Of the operations asked, those that must have been answered with what was wanted."""
SOUND = demo.document("market_tote")
NOBODYS = "no key of ours"
BODY = "$response.body#/"
PATTERN = {"pattern_id": f"{BODY}id", "revision_id": f"{BODY}head"}
SOURCES: dict[str, tuple[str, str, dict[str, str]]] = {
    "draft_id": ("startDraft", "201", {"draft_id": f"{BODY}id"}),
    "endpoint_id": ("makeEndpoint", "201", {"endpoint_id": f"{BODY}id"}),
    "key_id": ("makeKey", "201", {"key_id": f"{BODY}id"}),
    "form_id": ("makeFormToken", "201", {"form_id": f"{BODY}id", "pattern_id": "$request.path.pattern_id"}),
    "layouts_id": ("makeLayouts", "201", {"layouts_id": f"{BODY}id"}),
    "job_id": ("makeLayouts", "202", {"job_id": f"{BODY}id"}),
    "grade_id": ("makeGrade", "201", {"grade_id": f"{BODY}id"}),
    "quote_id": ("makeQuote", "201", {"quote_id": f"{BODY}id"}),
    "order_id": ("placeOrder", "201", {"order_id": f"{BODY}id"}),
    "revision_id": ("storePattern", "201", PATTERN),
    "pattern_id": ("storePattern", "201", {"pattern_id": f"{BODY}id"}),
}
"""For a parameter of an address: the operation that makes what it names, its status, and where the names stand.

An operation is linked by the first of its parameters that is here.
"""
CALCULATED = {
    *("readBagPicture", "readSeamPicture", "readBooklet", "readWholeBooklet", "readBulk", "judgeBulk", "readSheets"),
    *("readNestedSheets", "readLayoutSheets", "solveBatch", "judgeRange", "substitute", "readPacket", "makePacket"),
    *("verify", "readLayoutsProof", "addRecord", "readDifference", "replayNotification", "readNotification"),
    "trySizeOfDraft",
}
"""Not asked here: what needs real calculations, or more than one thing at a time."""
SCRIPTED = {
    *("readProof", "readAnswer", "readCutList", "readLayouts", "readSupplies", "countSupplies", "readForm"),
    *("readFormOfRevision", "readMap", "readChart", "readGrade"),
}
"""What the solver that answers at once has written itself, shorter than the interface describes it."""
# A schema cannot say which state an order may come into, or whether an order is new.
EXCLUDED: list[CheckFunction] = [ignored_auth, positive_data_acceptance]


def _described() -> dict[str, Any]:
    described = copy.deepcopy(interface_description(CONTROLLERS))
    operations = {
        operation["operationId"]: (path, operation)
        for path, item in described["paths"].items()
        for operation in item.values()
        if isinstance(operation, dict) and "operationId" in operation
    }
    for name, (path, _) in operations.items():
        source = next((SOURCES[parameter] for parameter in SOURCES if f"{{{parameter}}}" in path), None)
        if source is not None and name not in CALCULATED:
            _link(operations[source[0]][1], source[1], name, {"parameters": source[2]})
    _link(operations["makeQuote"][1], "201", "placeOrder", {"requestBody": {"quote": f"{BODY}id"}})
    return described


def _link(operation: dict[str, Any], status: str, target: str, link: dict[str, Any]) -> None:
    operation["responses"][status].setdefault("links", {})[target] = {"operationId": target, **link}


def _schema() -> Any:
    schema = schemathesis.openapi.from_dict(_described())
    schema.config.generation.update(modes=[GenerationMode.POSITIVE])
    schema.config.checks.missing_required_header.expected_statuses = ["400", "415", "422", "428"]
    return schema.exclude(operation_id=sorted(CALCULATED))


@dataclass
class Held:
    """What has been answered so far: the newest name for each parameter, all names, and how operations answered."""

    newest: dict[str, str] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)
    asked: Counter[tuple[str, int]] = field(default_factory=Counter)

    def begin_anew(self) -> None:
        """Forgets every name."""
        self.newest.clear()
        self.names.clear()

    def learn(self, operation: str, response: Any) -> None:
        """Notes what an answer names."""
        self.asked[operation, response.status_code] += 1
        for source, status, parameters in SOURCES.values():
            if operation == source and response.status_code == int(status):
                content = response.json()
                answered = {name: place for name, place in parameters.items() if place.startswith(BODY)}
                self.newest |= {name: content[place.removeprefix(BODY)] for name, place in answered.items()}
        self.names |= set(self.newest.values())

    def use(self, case: Any) -> None:
        """Puts the newest names in the place of those that nothing ever had."""
        given = case.path_parameters or {}
        if any(name not in self.names for name in given.values()):
            given.update({name: self.newest[name] for name in given if name in self.newest})
        if isinstance(case.body, dict) and case.body.get("quote") not in self.names and "quote_id" in self.newest:
            case.body.update({"quote": self.newest["quote_id"]} if "quote" in case.body else {})


def _stock(client: Any, held: Held) -> None:
    """One of everything, as a workshop has it that is at work."""

    def post(operation: str, path: str, body: Any, **headers: str) -> Any:
        answer = client.post(f"{ADDRESS}{path}", json=body, headers=headers)
        assert answer.status_code in (201, 202), answer.text
        held.learn(operation, answer)
        return answer.json()

    pattern = post("storePattern", "/patterns", {"document": SOUND})
    revision = f"/patterns/{pattern['id']}/revisions/{pattern['head']}"
    grade = post("makeGrade", f"{revision}/grades", {"size": "mini"})
    post("makeLayouts", f"/grades/{grade['id']}/layouts", {}, Prefer="wait=20")
    quotes = [post("makeQuote", f"{revision}/quotes", {"size": "mini"}) for _ in range(2)]
    key = {"Idempotency-Key": f'"{uuid4()}"'}
    post("placeOrder", "/orders", {"quote": quotes[0]["id"]}, **key)
    post("makeFormToken", f"/patterns/{pattern['id']}/forms", {"origins": [SHOP]})
    post("makeKey", "/keys", {"scopes": ["read"]})
    post("makeEndpoint", "/endpoints", {"url": f"{SHOP}/told", "events": ["order.placed"]})
    post("startDraft", "/drafts", {"document": SOUND})


def _with_what_a_schema_cannot_say(case: Any) -> None:
    """A document that is sound, a key that is new, a size that is there, the version that is held."""
    body = case.body
    if "Idempotency-Key" in (case.headers or {}) or case.operation.definition.raw["operationId"] == "placeOrder":
        case.headers["Idempotency-Key"] = f'"{uuid4()}"'
    if "If-Match" in (case.headers or {}):
        case.headers["If-Match"] = "*"
    if not isinstance(body, dict):
        return
    if "document" in body:
        body["document"] = {**SOUND, "name": f"Tote {uuid4()}"}
    if "origins" in body:
        body["origins"] = [SHOP]
    if "url" in body:
        body["url"] = f"{SHOP}/told"
    if case.operation.definition.raw["operationId"] in ("makeGrade", "makeQuote"):
        body.clear()
        body["size"] = "mini"
    if case.operation.definition.raw["operationId"] == "makeLayouts":
        body.clear()
    if case.operation.definition.raw["operationId"] == "startDraft":
        body.clear()
        body["document"] = SOUND


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    if request.param == "sqlite":
        return f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}"
    server = request.getfixturevalue("postgresql")
    server.run("postgres", "DROP DATABASE IF EXISTS linked", "CREATE DATABASE linked")
    return str(server.url("linked"))


def test_every_way_from_call_to_call_is_answered_as_described(database_url: str) -> None:
    chosen = Settings(database_url=database_url, rate=OFTEN, burst=OFTEN)
    held = Held()
    with asgi.get_client(cast("Any", create_app(chosen, solver=ShopSolver()))) as client:

        class Calls(_schema().as_state_machine()):  # type: ignore[misc]
            def setup(self) -> None:
                # Each sequence in a workshop of its own, so that it goes the same way whenever it is gone.
                client.headers.update(second_workshop(chosen))
                held.begin_anew()
                _stock(client, held)

            def before_call(self, case: Any) -> None:
                _with_what_a_schema_cannot_say(case)
                held.use(case)
                if (
                    case.path_parameters
                    and case.path_parameters.get("key_id", NOBODYS) in client.headers["Authorization"]
                ):
                    made = client.post(f"{ADDRESS}/keys", json={"scopes": ["read"]})
                    case.path_parameters["key_id"] = made.json()["id"]

            def get_call_kwargs(self, case: Any) -> dict[str, Any]:
                return {"session": client, "base_url": ADDRESS, "timeout": 60}

            def validate_response(self, response: Any, case: Any, **more: Any) -> None:
                name = case.operation.definition.raw["operationId"]
                held.learn(name, response)
                scripted = [response_schema_conformance] if name in SCRIPTED else []
                try:
                    case.validate_response(response, excluded_checks=[*EXCLUDED, *scripted])
                except FailureGroup as failures:
                    held.faults += [f"{name}: {failure}" for failure in failures.exceptions]

        Calls.run(
            settings=settings(
                max_examples=SEQUENCES,
                stateful_step_count=STEPS,
                deadline=None,
                derandomize=True,
                phases=[Phase.generate],
                suppress_health_check=list(HealthCheck),
            )
        )
    asgi.shutdown_lifespans()
    assert held.faults == []
    assert not any(status >= 500 for _, status in held.asked)
    fulfilled = {name for name, status in held.asked if status < 300}
    assert len(fulfilled) >= LEAST_FULFILLED, sorted(held.asked.items())
