"""Schemathesis asks every operation, with valid and with broken input, while demo patterns and grades are stored.

Where a part of a request is generated as valid, stored names and whole documents take its place in half of the
cases, so that the answers are not only 404 and 422.
"""

from __future__ import annotations

import copy
import json
import os
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any, cast
from uuid import uuid4

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import CheckFunction
from schemathesis.core.parameters import ParameterLocation
from schemathesis.python import asgi
from schemathesis.specs.openapi.checks import ignored_auth, positive_data_acceptance

from api.app import create_app
from api.description import interface_description
from api.operations.endpoints import MOST_ENDPOINTS
from api.resources.all import CONTROLLERS
from api.settings import Settings
from tests.api.support import authorization

DEMO = Path(__file__).parents[2] / "demo_requests" / "patterns"
ADDRESS = f"http://{asgi.HOST}"
THOROUGH = "SIZEWRIGHT_THOROUGH" in os.environ
EXAMPLES = 20 if THOROUGH else 2
PATIENCE = 120
"""Seconds for one answer, on a machine that is busy with other tests."""
OFTEN = 1_000_000
"""Requests a minute: more than are sent."""
SHOP = "https://shop.example"
SIZES = ("base", "mini", "large")
QUICK = {"settings": {"effort": "quick", "widths": []}}
LIGHT = (0, 4)
"""The grades of which the patterns have few pieces: changes of these are soon made."""
USUAL = "sleeve:without"
# Requests without a key are tested with all other keys, in tests/api; `ignored_auth` would send them to a real host.
# A schema cannot say which documents are sound, which sizes a pattern allows, or which numbers are exact.
HARD_TO_PLEASE = {
    "storePattern",
    "checkDraft",
    "addRevision",
    "addRecord",
    "makeFormToken",
    "makeKey",
    "succeedKey",
    "listNotifications",
    "listOrders",
    "makeEndpoint",
    "makeGrade",
    "makePacket",
    "makeQuote",
    "moveOrder",
    "placeOrder",
    "changeDraft",
    "publishDraft",
    "redoDraft",
    "startDraft",
    "undoDraft",
    "solveBatch",
    "judgeRange",
    "makeLayouts",
    "countSupplies",
    "judgeBulk",
    "substitute",
    "readMap",
    "readNestedSheets",
    "readSheets",
    "readBagPicture",
    "readSeamPicture",
    "renameInDraft",
    "trySizeOfDraft",
    "verify",
}
LABORIOUS = {"makeQuote", "readBooklet", "readWholeBooklet", "readSheets", "readNestedSheets", "readLayoutSheets"}
"""These are asked of patterns with few pieces."""

schema = schemathesis.openapi.from_dict(interface_description(CONTROLLERS))
# Every value at every boundary takes a quarter of an hour; a sample of all is enough after each change.
schema.config.phases.coverage.enabled = THOROUGH
# A missing If-Match is answered as RFC 6585 says, which is none of the usual answers to a missing header.
schema.config.checks.missing_required_header.expected_statuses = ["400", "415", "422", "428"]


@dataclass(repr=False)
class Stored:
    """What was stored before the first case, and how the cases were answered."""

    client: asgi.ASGIClient
    documents: list[dict[str, Any]]
    patterns: list[dict[str, Any]] = field(default_factory=list)
    grades: list[dict[str, Any]] = field(default_factory=list)
    layouts: dict[str, str] = field(default_factory=dict)
    jobs: dict[str, str] = field(default_factory=dict)
    asked: Counter[str] = field(default_factory=Counter)
    fulfilled: Counter[str] = field(default_factory=Counter)


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stored]:
    database = tmp_path_factory.mktemp("contract") / "sizewright.db"
    chosen = Settings(database_url=f"sqlite+aiosqlite:///{database}", time_limit=PATIENCE, rate=OFTEN, burst=OFTEN)
    with asgi.get_client(cast("Any", create_app(chosen))) as client:
        client.headers.update(authorization(chosen))
        kept = Stored(client, [json.loads(path.read_text()) for path in sorted(DEMO.glob("*.json"))])
        for document in kept.documents:
            pattern = _post(client, "/patterns", {"document": document})
            kept.patterns.append(pattern)
            address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/grades"
            kept.grades += [_post(client, address, {"size": size}) for size in SIZES[:2]]
        for grade in kept.grades:
            _lay_out(client, grade["id"], kept)
        yield kept
    asgi.shutdown_lifespans()
    if THOROUGH:
        assert {name for name in kept.asked if not kept.fulfilled[name]} == set()


def _post(client: asgi.ASGIClient, path: str, body: dict[str, Any]) -> dict[str, Any]:
    answer = client.post(f"{ADDRESS}{path}", json=body)
    assert answer.status_code == 201, answer.text
    made: dict[str, Any] = answer.json()
    return made


def _lay_out(client: asgi.ASGIClient, grade: str, kept: Stored) -> None:
    """Layouts of a grade, and a job of it."""
    address = f"{ADDRESS}/grades/{grade}/layouts"
    laid = client.post(address, json=QUICK, headers={"Prefer": "wait=60"})
    assert laid.status_code == 201, laid.text
    kept.layouts[grade] = laid.json()["id"]
    begun = client.post(address, json={**QUICK, "seconds": 2}, headers={"Prefer": "respond-async"})
    assert begun.status_code == 202, begun.text
    kept.jobs[grade] = begun.json()["id"]


@schema.parametrize()
@settings(max_examples=EXAMPLES, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
def test_every_operation_keeps_its_word(case: schemathesis.Case[Any], stored: Stored) -> None:
    _use_what_is_stored(case, stored)
    name = case.operation.definition.raw["operationId"]
    excluded: list[CheckFunction] = [ignored_auth, *([positive_data_acceptance] if name in HARD_TO_PLEASE else [])]
    answer = case.call_and_validate(session=stored.client, base_url=ADDRESS, excluded_checks=excluded, timeout=PATIENCE)
    stored.asked[name] += 1
    stored.fulfilled[name] += answer.status_code < 300


def _use_what_is_stored(case: schemathesis.Case[Any], stored: Stored) -> None:
    chance = int.from_bytes(sha256(repr((case.path_parameters, case.body, case.headers)).encode()).digest()[:4])
    if chance % 2:
        return
    name = case.operation.definition.raw["operationId"]
    places = LIGHT if name in LABORIOUS else range(len(stored.grades))
    grade = stored.grades[places[chance // 2 % len(places)]]
    pattern = next(one for one in stored.patterns if one["id"] == grade["pattern"])
    document = copy.deepcopy(stored.documents[stored.patterns.index(pattern)])
    if _valid(case, ParameterLocation.PATH):
        names = {
            "pattern_id": pattern["id"],
            "revision_id": pattern["head"],
            "grade_id": grade["id"],
            "layouts_id": stored.layouts[grade["id"]],
            "job_id": stored.jobs[grade["id"]],
            "kind": "faults",
            "seam": next(iter(document["seams"])),
            **_new_names(stored, pattern["id"], case.path_parameters),
        }
        case.path_parameters = {name: names[name] for name in case.path_parameters}
    if _valid(case, ParameterLocation.QUERY):
        named = {
            "from": pattern["head"],
            "layouts": stored.layouts[grade["id"]],
            "cloth": "main",
            "option": USUAL,
            "lit": "seam:side",
            "cloths": _offered(document),
        }
        case.query.update({name: value for name, value in named.items() if name in case.query})
        if "after" in case.query:
            case.query["after"] = _told(stored) if "notifications" in case.path else _ordered(stored)
    if _valid(case, ParameterLocation.HEADER) and "Idempotency-Key" in case.headers:
        case.headers["Idempotency-Key"] = f'"{uuid4()}"'
    if _valid(case, ParameterLocation.HEADER) and "If-Match" in case.headers:
        case.headers["If-Match"] = "*"
    if _valid(case, ParameterLocation.BODY) and isinstance(case.body, dict):
        _use_stored_content(case.body, document, grade, chance)
        if "layouts_id" in case.body:
            case.body["layouts_id"] = stored.layouts[grade["id"]]
        _use_the_shop(case, stored, chance)


def _offered(document: dict[str, Any]) -> str:
    """A cloth that the order form offers, by its role."""
    role, cloths = next(iter(document["order"]["cloths"].items()))
    return f"{role}:{cloths[0]['name']}"


def _new_names(stored: Stored, pattern: str, wanted: Iterable[str]) -> dict[str, str]:
    """A key and a form's token of their own for each case, which may end them."""
    made: dict[str, str] = {}
    if "key_id" in wanted:
        made["key_id"] = _post(stored.client, "/keys", {"scopes": ["read"]})["id"]
    if "form_id" in wanted:
        made["form_id"] = _post(stored.client, f"/patterns/{pattern}/forms", {"origins": [SHOP]})["id"]
    if "draft_id" in wanted:
        made["draft_id"] = _drafted(stored, pattern)
    if "quote_id" in wanted:
        made["quote_id"] = _quoted(stored)
    if "order_id" in wanted:
        made["order_id"] = _ordered(stored)
    if "endpoint_id" in wanted:
        made["endpoint_id"] = _notified(stored)
    if "notification_id" in wanted:
        made["notification_id"] = _told(stored)
    return made


def _drafted(stored: Stored, pattern: str) -> str:
    """A draft with changes on either side: one that can be taken back, and one that was."""
    address = f"{ADDRESS}/drafts/{_post(stored.client, '/drafts', {'pattern': pattern})['id']}"
    for says in ("one", "two"):
        patch = [{"op": "add", "path": "/says", "value": says}]
        answer = stored.client.patch(address, json={"patch": patch}, headers={"If-Match": "*"})
        assert answer.status_code == 200, answer.text
    assert stored.client.post(f"{address}/undo", headers={"If-Match": "*"}).status_code == 200
    return address.rpartition("/")[2]


def _quoted(stored: Stored) -> str:
    """A quote of the pattern that is soonest laid out."""
    pattern = stored.patterns[0]
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/quotes"
    return str(_post(stored.client, address, {"size": "base"})["id"])


def _ordered(stored: Stored) -> str:
    headers = {"Idempotency-Key": f'"{uuid4()}"'}
    placed = stored.client.post(f"{ADDRESS}/orders", json={"quote": _quoted(stored)}, headers=headers)
    assert placed.status_code == 201, placed.text
    return str(placed.json()["id"])


def _notified(stored: Stored) -> str:
    """An endpoint where nobody is: names under .invalid lead nowhere (RFC 6761)."""
    listed = stored.client.get(f"{ADDRESS}/endpoints").json()
    if listed["total"] > MOST_ENDPOINTS // 2:
        stored.client.delete(f"{ADDRESS}/endpoints/{listed['items'][0]['id']}")
    wanted = {"url": "https://shop.invalid/hook", "events": ["order.placed"]}
    return str(_post(stored.client, "/endpoints", wanted)["id"])


def _told(stored: Stored) -> str:
    """A notification of an order that was just placed."""
    _notified(stored)
    _ordered(stored)
    return str(stored.client.get(f"{ADDRESS}/notifications").json()["items"][0]["id"])


def _use_the_shop(case: schemathesis.Case[Any], stored: Stored, chance: int) -> None:
    """What is asked of order forms and orders that are there."""
    body, name = cast("dict[str, Any]", case.body), case.operation.definition.raw["operationId"]
    if name == "makeQuote":
        body.clear()
        body.update({"size": SIZES[chance // 4 % len(SIZES)]})
    if name == "placeOrder":
        body["quote"] = _quoted(stored)
    if name == "startDraft":
        begun = next(iter(body), "document")
        csv = {"name": "Listed", "csv": "piece,width,height\npanel,480,440\n"}
        content = {"pattern": stored.patterns[0]["id"], "list": csv, "document": stored.documents[0]}
        body.clear()
        body[begun] = content.get(begun, {})
    if name == "changeDraft":
        body["patch"] = [{"op": "replace", "path": "/name", "value": f"Draft {chance}"}]
    if name == "publishDraft":
        body.clear()
    if name == "renameInDraft":
        body.update({"kind": "dimension", "from": "height", "to": f"height_{chance}"})
    if name == "trySizeOfDraft":
        body.clear()
        body["size"] = SIZES[chance // 4 % len(SIZES)]
    if name == "makeEndpoint":
        body["url"] = "https://shop.invalid/hook"
    if name == "moveOrder":
        body["to"] = "accepted"
    if name == "makePacket":
        body["orders"] = [_ordered(stored) for _ in range(1 + chance // 2 % 2)]


def _use_stored_content(body: dict[str, Any], document: dict[str, Any], grade: dict[str, Any], chance: int) -> None:
    if "document" in body:
        body["document"] = {**document, "says": f"variant {chance}"}
    if "grade_id" in body:
        body["grade_id"] = grade["id"]
    if "scales" in body:
        body["scales"] = [1, "9/10"]
    if "choose" in body:
        body["choose"] = document["order"]["choose"]
    if "settings" in body:
        body["settings"] = {}
    if "seconds" in body:
        body["seconds"] = 0.5
    if "changes" in body and chance // 2 % 6 in LIGHT:
        body["changes"] = [{"toile": next(iter(document["materials"]))}]
        body["settings"] = {"effort": "quick"}
    if "origins" in body:
        body["origins"] = [SHOP]
    if "size" in body:
        body["size"] = SIZES[chance // 4 % len(SIZES)]


def _valid(case: schemathesis.Case[Any], location: ParameterLocation) -> bool:
    component = case.meta.components.get(location) if case.meta else None
    return component is not None and component.mode.is_positive
