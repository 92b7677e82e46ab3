"""What one workshop has, another cannot see, guess or infer: every address is asked with another's key and real ids.

The answer must be the one for an id that does not exist, word for word but for the id.
"""

from __future__ import annotations

import itertools
import re
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import uuid4

import pytest

from api.access.scopes import FORM, OPEN, SIGNED_IN
from api.settings import Settings
from tests.api.conftest import Client
from tests.api.shop import ShopSolver, place, quoted
from tests.api.support import NO_PATTERN, NOWHERE, authorization, pattern_document, second_workshop, signed_in

HEADERS = {"If-Match": "*", "Idempotency-Key": '"01234567-89ab-4def-8123-456789abcdef"'}
NOTHING = {
    "pattern_id": NO_PATTERN,
    "revision_id": NOWHERE,
    "grade_id": NOWHERE,
    "layouts_id": NOWHERE,
    "job_id": NO_PATTERN,
    "draft_id": NO_PATTERN,
    "quote_id": NO_PATTERN,
    "order_id": NO_PATTERN,
    "endpoint_id": NO_PATTERN,
    "notification_id": NO_PATTERN,
    "key_id": "0" * 16,
    "form_id": "0" * 16,
}
OFTEN = 100_000
"""Requests a minute: more than are sent."""
PARTS = {"seam": "side"}
"""Names in addresses that are no ids: of a part of what an id names."""
BODIES: dict[str, dict[str, Any]] = {
    "renameInDraft": {"kind": "dimension", "from": "width", "to": "breadth"},
    "trySizeOfDraft": {"size": "base"},
    "addRevision": {"document": pattern_document("Taken over")},
    "addRecord": {"size": "base", "cloth": "canvas"},
    "changeDraft": {"patch": [{"op": "replace", "path": "/name", "value": "Taken over"}]},
    "makeGrade": {"size": "mini"},
    "makeQuote": {"size": "mini"},
    "solveBatch": {"scales": [1]},
    "judgeRange": {"choose": {"width": ["100 mm", "120 mm"]}},
    "makeLayouts": {"settings": {"seed": 5}},
    "substitute": {"changes": [{"toile": "main"}], "size": "mini"},
    "makeFormToken": {"origins": ["https://shop.example"]},
    "moveOrder": {"to": "cancelled"},
    "addNote": {"says": "read by others"},
    "moveEndpoint": {"to": "disabled"},
}
"""Bodies that are as they should be, by the name of the operation; an empty object where none is listed."""
QUERIES = {"readDifference": "from={revision_id}"}


@dataclass
class Owned:
    """A workshop's key, and one of everything that it can have."""

    key: dict[str, str]
    ids: dict[str, str] = field(default_factory=dict)
    token: str = ""


@dataclass(frozen=True)
class Asked:
    """An operation at an address that has ids."""

    operation: str
    method: str
    path: str
    scope: str
    names: tuple[str, ...]

    def at(self, client: Client, ids: dict[str, str], key: dict[str, str]) -> Any:
        """The answer with these ids."""
        address = self.path.format(**PARTS, **ids)
        if self.operation in QUERIES:
            address = f"{address}?{QUERIES[self.operation].format(**ids)}"
        body = None if self.method in ("GET", "DELETE") else BODIES.get(self.operation, {})
        return client.request(self.method, address, json=body, headers={**HEADERS, **key})


@pytest.fixture
def settings(settings: Settings) -> Settings:
    return replace(settings, rate=OFTEN, burst=OFTEN, form_rate=OFTEN, form_burst=OFTEN)


@pytest.fixture
def solver() -> ShopSolver:
    return ShopSolver(held=True)


@pytest.fixture
def house(client: Client) -> Owned:
    return _furnished(client, {"Authorization": client.headers["Authorization"]})


@pytest.fixture
def stranger(client: Client, settings: Settings) -> Owned:
    return _furnished(client, second_workshop(settings))


def _furnished(client: Client, key: dict[str, str]) -> Owned:
    client.headers.update(key)
    owned = Owned(key)
    pattern = _post(client, "/patterns", {"document": pattern_document()})
    owned.ids |= {"pattern_id": pattern["id"], "revision_id": pattern["head"]}
    address = f"/patterns/{pattern['id']}"
    owned.ids["grade_id"] = _post(client, f"{address}/revisions/{pattern['head']}/grades", {"size": "mini"})["id"]
    owned.ids["layouts_id"] = _post(client, f"/grades/{owned.ids['grade_id']}/layouts", {})["id"]
    later = {"settings": {"effort": "slow search"}}
    begun = client.post(f"/grades/{owned.ids['grade_id']}/layouts", json=later, headers={"Prefer": "respond-async"})
    owned.ids["job_id"] = begun.json()["id"]
    owned.ids["draft_id"] = _post(client, "/drafts", {"pattern": pattern["id"]})["id"]
    quote = quoted(client, pattern)
    owned.ids["quote_id"] = quote["id"]
    endpoint = {"url": "https://shop.example/hook", "events": ["order.placed"]}
    owned.ids["endpoint_id"] = _post(client, "/endpoints", endpoint)["id"]
    owned.ids["order_id"] = place(client, quote, str(uuid4())).json()["id"]
    # Given up at once, so that it stays as it is while others are asked for.
    client.post(f"/endpoints/{owned.ids['endpoint_id']}/states", json={"to": "disabled"})
    owned.ids["notification_id"] = client.get("/notifications").json()["items"][0]["id"]
    owned.ids["key_id"] = _post(client, "/keys", {"scopes": ["read"]})["id"]
    form = _post(client, f"{address}/forms", {"origins": ["https://shop.example"]})
    owned.ids["form_id"], owned.token = form["id"], form["token"]
    return owned


def _post(client: Client, path: str, body: dict[str, Any]) -> dict[str, Any]:
    answer = client.post(path, json=body)
    assert answer.status_code == 201, answer.text
    made: dict[str, Any] = answer.json()
    return made


def _operations(client: Client) -> Iterator[Asked]:
    """Every operation at an address with ids that needs a key."""
    for route in client.app.routes:
        for handler in getattr(route, "route_handlers", ()):
            names = tuple(re.findall(r"{(\w+)}", route.path_format))
            scope = handler.opt.get("scope")
            for method in handler.http_methods - {"OPTIONS"}:
                if names and scope != OPEN:
                    yield Asked(str(handler.operation_id), method, route.path_format, scope, names)


def _choices(asked: Asked, own: dict[str, str], theirs: dict[str, str]) -> Iterator[tuple[dict[str, str], set[str]]]:
    """Ids of which some are another's, and which those are: each alone, and all together."""
    names = [name for name in asked.names if name not in PARTS]
    for count in range(1, len(names) + 1):
        for foreign in itertools.combinations(names, count):
            yield {name: theirs[name] if name in foreign else own[name] for name in own}, set(foreign)


def _alike(text: str, ids: dict[str, str]) -> str:
    """The text of an answer with ids replaced by their names."""
    for name, value in ids.items():
        text = text.replace(value, name)
    return text


def _told(answer: Any) -> dict[str, str]:
    passing = ("ratelimit", "x-request-id")
    return {name: value for name, value in answer.headers.items() if name not in passing and name != "content-length"}


def test_the_ids_of_every_address_are_known_here(client: Client, house: Owned) -> None:
    named = {name for asked in _operations(client) for name in asked.names}
    assert named - PARTS.keys() == house.ids.keys() == NOTHING.keys(), "new ids need an example in this module"


def test_a_workshop_is_let_into_its_own(client: Client, house: Owned) -> None:
    """Else the tests below would show nothing: the same requests with the owner's key are not refused as unknown."""
    # What takes something away, or away from the others, comes last.
    ordered = sorted(_operations(client), key=lambda asked: (asked.method == "DELETE", asked.operation))
    for asked in ordered:
        answer = asked.at(client, house.ids, house.key)
        met = answer.status_code == 404 and any(repr(part) in answer.json()["detail"] for part in PARTS.values())
        assert met or answer.status_code not in (401, 403, 404), f"{asked.operation}: {answer.text}"


def test_what_is_anothers_is_answered_as_what_does_not_exist(client: Client, house: Owned, stranger: Owned) -> None:
    walked = 0
    for asked in _operations(client):
        for ids, foreign in _choices(asked, stranger.ids, house.ids):
            none = {name: NOTHING[name] if name in foreign else value for name, value in ids.items()}
            answer, absent = (asked.at(client, chosen, stranger.key) for chosen in (ids, none))
            where = f"{asked.operation} with another's {', '.join(sorted(foreign))}"
            assert answer.status_code == 404, f"{where}: {answer.text}"
            assert absent.status_code == 404, f"{where}: {absent.text}"
            assert _alike(answer.text, ids) == _alike(absent.text, none), where
            assert _told(answer) == _told(absent), where
            walked += 1
    assert walked > 50


def test_nothing_of_another_is_changed_by_asking(client: Client, house: Owned, stranger: Owned) -> None:
    def all_of_it() -> list[str]:
        told = []
        for asked in sorted(_operations(client), key=lambda each: each.operation):
            if asked.method == "GET":
                told.append(asked.at(client, house.ids, house.key).text)
        return told

    before = all_of_it()
    for asked in _operations(client):
        if asked.method != "GET":
            asked.at(client, house.ids, stranger.key)
    assert all_of_it() == before


def test_lists_hold_ones_own_alone(client: Client, house: Owned, stranger: Owned) -> None:
    listed = 0
    for route in client.app.routes:
        for handler in getattr(route, "route_handlers", ()):
            if "GET" in handler.http_methods and "{" not in route.path_format and handler.opt["scope"] != OPEN:
                text = client.get(route.path_format, headers=stranger.key).text
                assert not [value for value in house.ids.values() if value in text], route.path_format
                listed += handler.opt["scope"] != SIGNED_IN and '"items":[{' in text
    assert listed >= 4, "patterns, drafts, orders, keys"


@pytest.mark.parametrize(
    ("path", "body", "name"),
    [
        ("/verifications", {"grade_id": "{grade_id}"}, "grade_id"),
        ("/verifications", {"layouts_id": "{layouts_id}"}, "layouts_id"),
        ("/drafts", {"pattern": "{pattern_id}"}, "pattern_id"),
        ("/orders", {"quote": "{quote_id}"}, "quote_id"),
        ("/grades/{own}/supplies?layouts={layouts_id}", None, "layouts_id"),
    ],
)
def test_ids_in_bodies_and_questions_are_no_way_in(
    client: Client, house: Owned, stranger: Owned, path: str, body: dict[str, str] | None, name: str
) -> None:
    def ask(ids: dict[str, str]) -> Any:
        sent = None if body is None else {field: text.format(**ids) for field, text in body.items()}
        address = path.format(own=stranger.ids["grade_id"], **ids)
        return client.request(
            "GET" if body is None else "POST", address, json=sent, headers={**HEADERS, **stranger.key}
        )

    answer, absent = ask(house.ids), ask(NOTHING)
    assert answer.status_code == absent.status_code == 404, answer.text
    assert answer.text.replace(house.ids[name], "x") == absent.text.replace(NOTHING[name], "x")
    assert ask(stranger.ids).status_code not in (401, 403, 404)


def test_the_token_of_a_form_opens_nothing_of_another_pattern(client: Client, house: Owned) -> None:
    """Of the same workshop, too."""
    other = _furnished(client, house.key)
    token = {"Authorization": f"Bearer {other.token}"}
    walked = 0
    for asked in _operations(client):
        for ids, foreign in _choices(asked, other.ids, house.ids):
            none = {name: NOTHING[name] if name in foreign else value for name, value in ids.items()}
            answer, absent = (asked.at(client, chosen, token) for chosen in (ids, none))
            assert answer.status_code == absent.status_code == (404 if asked.scope == FORM else 403), asked
            assert _alike(answer.text, ids) == _alike(absent.text, none), asked
            walked += asked.scope == FORM
    assert walked >= 5


def test_the_token_of_a_form_opens_its_own_form(client: Client, house: Owned) -> None:
    token = {"Authorization": f"Bearer {house.token}"}
    for asked in _operations(client):
        if asked.scope == FORM and "quote_id" not in asked.names:
            answer = asked.at(client, house.ids, token)
            assert answer.status_code not in (401, 403, 404), f"{asked.operation}: {answer.text}"


def test_jobs_of_every_workshop_are_begun_again_by_the_next_server(settings: Settings) -> None:
    with signed_in(settings, ShopSolver(held=True)) as before:
        theirs = second_workshop(settings)
        owned = [_furnished(before, key) for key in (authorization(settings), theirs)]
    with signed_in(settings, ShopSolver()) as after:
        for each in owned:
            job = f"/jobs/{each.ids['job_id']}"
            deadline = time.monotonic() + 20
            while after.get(job, headers=each.key).json()["state"] != "done" and time.monotonic() < deadline:
                time.sleep(0.01)
            done = after.get(job, headers=each.key).json()
            assert done["state"] == "done"
            assert after.get(done["result"], headers=each.key).status_code == 200
        assert after.get(f"/jobs/{owned[0].ids['job_id']}", headers=theirs).status_code == 404
