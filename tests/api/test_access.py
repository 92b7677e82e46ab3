"""Keys: who gets in, with which scope, for how long. Headers by RFC 6750 (bearer keys) and RFC 9110."""

from __future__ import annotations

import asyncio
import re
import stat
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from litestar import Litestar
from litestar.handlers import HTTPRouteHandler

from api.access.scopes import HANDLER_SCOPES, KEY_SCOPES, OPEN
from api.access.secrets import bearer
from api.operations.opening import NoKeyYet, key_file, on_loopback, prepare
from api.settings import Settings, sqlite_file
from api.storage.database import Database
from tests.api.conftest import Client
from tests.api.support import NO_PATTERN, ScriptedSolver, authorization, new_key, pattern_document, signed_in
from tests.storage.support import rows

NO_KEY = "0" * 16


def _handlers(app: Litestar) -> list[tuple[str, str, HTTPRouteHandler]]:
    found = [
        (method, route.path_format, handler)
        for route in app.routes
        for handler in getattr(route, "route_handlers", ())
        for method in sorted(handler.http_methods)
    ]
    return [each for each in found if each[0] != "OPTIONS"]


def _made(client: Client, *scopes: str, **more: Any) -> dict[str, Any]:
    answer = client.post("/keys", json={"scopes": list(scopes), **more})
    assert answer.status_code == 201, answer.text
    made: dict[str, Any] = answer.json()
    return made


def _innermost(error: BaseException) -> BaseException:
    return _innermost(error.exceptions[0]) if isinstance(error, BaseExceptionGroup) else error


def _as(key: dict[str, Any]) -> dict[str, str]:
    return {"Authorization": f"Bearer {key['key']}"}


def test_every_address_states_who_may_ask_it(client: Client) -> None:
    for method, path, handler in _handlers(client.app):
        assert handler.opt.get("scope") in HANDLER_SCOPES, f"{method} {path} states no scope"


def test_what_is_open_is_health_the_description_and_the_reference(client: Client) -> None:
    opened = {path for _, path, handler in _handlers(client.app) if handler.opt["scope"] == OPEN}
    described = {"/health", "/ready", "/metrics", "/openapi.json", "/schemas/pattern.json", "/problems/{kind}"}
    assert opened == described | {"/reference", "/reference/static/{file_path}"}


def test_without_a_key_nothing_else_answers(client: Client) -> None:
    for method, path, handler in _handlers(client.app):
        address = re.sub(r"{[^}]*}", "x", path)
        answer = client.request(method, address, headers={"Authorization": ""})
        if handler.opt["scope"] != OPEN:
            assert (answer.status_code, answer.json()["type"]) == (401, "/problems/no-key"), path
            assert answer.headers["www-authenticate"].startswith('Bearer realm="sizewright"')
            assert answer.headers["cache-control"] == "no-store"


def test_no_code_of_an_error_is_told_where_no_key_was_sent(client: Client) -> None:
    del client.headers["Authorization"]
    assert client.get("/patterns").headers["www-authenticate"] == 'Bearer realm="sizewright"'
    wrong = client.get("/patterns", headers={"Authorization": f"Bearer sw_{NO_KEY}_{'A' * 43}"})
    assert wrong.headers["www-authenticate"] == 'Bearer realm="sizewright", error="invalid_token"'


@pytest.mark.parametrize(
    "header",
    [
        "Bearer",
        "Bearer x",
        "Basic c3c6eA==",
        f"Bearer sw_{NO_KEY}_{'A' * 43}",
        f"Bearer swf_{NO_KEY}_{'A' * 43}",
        f"Bearer sw_{NO_KEY}_{'A' * 43}, Bearer x",
        "Bearer " + "A" * 5000,
    ],
)
def test_what_is_no_key_lets_nobody_in(client: Client, header: str) -> None:
    assert client.get("/patterns", headers={"Authorization": header}).status_code == 401


def test_every_character_of_a_key_counts(client: Client, settings: Settings) -> None:
    whole = authorization(settings)["Authorization"]
    for place in (7, 9, 12, 25, 30, len(whole) - 2):
        other = whole[:place] + ("B" if whole[place] != "B" else "C") + whole[place + 1 :]
        assert client.get("/patterns", headers={"Authorization": other}).status_code == 401
    assert client.get("/patterns", headers={"Authorization": f"{whole}A"}).status_code == 401
    assert client.get("/patterns", headers={"Authorization": whole.replace("Bearer", "bearer ")}).status_code == 200


def test_two_keys_at_once_are_none(client: Client, settings: Settings) -> None:
    sent = [("Authorization", authorization(settings)["Authorization"])] * 2
    assert client.get("/patterns", headers=sent).status_code == 401


def test_an_address_that_does_not_exist_needs_no_key(client: Client) -> None:
    del client.headers["Authorization"]
    assert client.get("/nothing").status_code == 404


def test_the_database_holds_the_hash_of_a_secret_alone(client: Client, settings: Settings) -> None:
    text = _made(client, "read")["key"]
    credential = bearer(f"Bearer {text}")
    assert credential is not None
    assert len(credential.secret) == 43, "256 bits in base64url"
    kept = rows(settings.database_url, "SELECT * FROM keys")
    assert sha256(credential.secret.encode()).hexdigest() in [value for row in kept for value in row]
    assert credential.secret not in str(kept)
    assert credential.secret not in repr(credential)


def test_a_key_is_shown_once(client: Client) -> None:
    made = _made(client, "read", "order", says="the till")
    secret = made.pop("key").rpartition("_")[2]
    assert client.get(f"/keys/{made['id']}").json() == made
    assert made in client.get("/keys").json()["items"]
    assert secret not in client.get("/keys").text


def test_two_keys_are_never_alike(client: Client) -> None:
    keys = [_made(client, "read")["key"] for _ in range(20)]
    assert len({part for key in keys for part in key.split("_", 2)[1:]}) == 40


@pytest.mark.parametrize(
    ("scopes", "method", "path", "body", "status"),
    [
        (["read"], "GET", "/patterns", None, 200),
        (["read"], "POST", "/checks", {"document": {}}, 200),
        (["read"], "POST", "/patterns", {"document": pattern_document()}, 403),
        (["read"], "GET", "/keys", None, 403),
        (["order"], "GET", "/patterns", None, 403),
        (["order"], "GET", "/orders", None, 200),
        (["read"], "GET", "/orders", None, 200),
        (["read"], "POST", "/orders", {}, 403),
        (["design"], "GET", "/patterns", None, 200),
        (["design"], "POST", "/patterns", {"document": pattern_document()}, 201),
        (["design"], "GET", "/orders", None, 200),
        (["design"], "GET", "/keys", None, 403),
        (["keys"], "GET", "/keys", None, 200),
        (["keys"], "GET", "/patterns", None, 403),
        (["read", "keys"], "GET", "/patterns", None, 200),
    ],
)
def test_a_key_does_what_its_scopes_say(
    client: Client, scopes: list[str], method: str, path: str, body: Any, status: int
) -> None:
    answer = client.request(method, path, json=body, headers=_as(_made(client, *scopes)))
    assert answer.status_code == status, answer.text


def test_the_scope_that_is_missing_is_named(client: Client) -> None:
    answer = client.post("/patterns", json={}, headers=_as(_made(client, "read")))
    assert (answer.status_code, answer.json()["type"], answer.json()["scope"]) == (
        403,
        "/problems/scope-missing",
        "design",
    )
    assert "design" in answer.json()["detail"]
    challenge = 'Bearer realm="sizewright", error="insufficient_scope", scope="design"'
    assert answer.headers["www-authenticate"] == challenge


def test_a_key_gives_no_more_than_it_has(client: Client) -> None:
    keeper = _as(_made(client, "keys", "read"))
    assert client.post("/keys", json={"scopes": ["read"]}, headers=keeper).status_code == 201
    refused = client.post("/keys", json={"scopes": ["read", "design"]}, headers=keeper)
    assert (refused.status_code, refused.json()["scope"]) == (403, "design")
    larger = _made(client, "design")
    assert client.post(f"/keys/{larger['id']}/successor", json={}, headers=keeper).status_code == 403


def test_a_revoked_key_works_no_more_at_once(client: Client) -> None:
    made = _made(client, "read")
    assert client.get("/patterns", headers=_as(made)).status_code == 200
    for _ in range(2):
        assert client.delete(f"/keys/{made['id']}").status_code == 204
    assert client.get("/patterns", headers=_as(made)).status_code == 401
    revoked = client.get(f"/keys/{made['id']}").json()["revoked_at"]
    assert revoked is not None
    assert client.delete(f"/keys/{made['id']}").status_code == 204
    assert client.get(f"/keys/{made['id']}").json()["revoked_at"] == revoked
    assert client.post(f"/keys/{made['id']}/successor", json={}).status_code == 422


def test_a_key_works_until_it_expires(client: Client, settings: Settings) -> None:
    assert client.get("/patterns", headers=new_key(settings, "read", days=1)).status_code == 200
    assert client.get("/patterns", headers=new_key(settings, "read", days=-1)).status_code == 401
    made = _made(client, "read", days=30)
    assert made["expires_at"] is not None
    assert client.get("/caller", headers=_as(made)).json()["expires_at"] == made["expires_at"]


def test_a_successor_and_its_predecessor_both_work_until_the_older_one_ends(client: Client) -> None:
    old = _made(client, "read", says="the till", days=100)
    new = client.post(f"/keys/{old['id']}/successor", json={"days": 3}).json()
    assert (new["scopes"], new["says"]) == (["read"], "the till")
    for key in (old, new):
        assert client.get("/patterns", headers=_as(key)).status_code == 200
    told = client.get(f"/keys/{old['id']}").json()
    assert told["successor"] == new["id"]
    assert told["expires_at"] < old["expires_at"] <= new["expires_at"]
    again = client.post(f"/keys/{old['id']}/successor", json={})
    assert (again.status_code, new["id"] in again.json()["faults"][0]["remedy"]) == (422, True)


def test_a_predecessor_may_end_at_once(client: Client) -> None:
    old = _made(client, "read")
    new = client.post(f"/keys/{old['id']}/successor", json={"days": 0}).json()
    assert new["expires_at"] is None
    assert client.get("/patterns", headers=_as(old)).status_code == 401
    assert client.get("/patterns", headers=_as(new)).status_code == 200


def test_a_successor_does_not_make_its_predecessor_live_longer(client: Client) -> None:
    old = _made(client, "read", days=1)
    assert client.post(f"/keys/{old['id']}/successor", json={"days": 90}).status_code == 201
    assert client.get(f"/keys/{old['id']}").json()["expires_at"] == old["expires_at"]


@pytest.mark.parametrize(
    "body",
    [{}, {"scopes": []}, {"scopes": ["all"]}, {"scopes": ["read"], "days": 0}, {"scopes": ["read"], "says": "x" * 201}],
)
def test_keys_are_asked_for_as_described(client: Client, body: dict[str, Any]) -> None:
    assert client.post("/keys", json=body).status_code == 422


def test_who_asks_is_told(client: Client) -> None:
    told = client.get("/caller").json()
    assert told["workshop"]["name"] == "This workshop"
    assert (told["scopes"], told["form"], told["expires_at"]) == (list(KEY_SCOPES), None, None)


def test_what_has_an_owner_is_kept_by_nobody_on_the_way(client: Client, pattern: dict[str, str]) -> None:
    assert client.get("/patterns").headers["cache-control"] == "private, no-store"
    one = client.get(f"/patterns/{pattern['id']}")
    assert one.headers["cache-control"] == "private, no-cache"
    assert "etag" in one.headers
    assert client.get(f"/patterns/{NO_PATTERN}").headers["cache-control"] == "private, no-store"
    assert "cache-control" not in client.get("/openapi.json").headers


def test_only_behind_https_browsers_are_told_to_keep_to_it(settings: Settings) -> None:
    for https in (True, False):
        with signed_in(replace(settings, https=https), ScriptedSolver()) as client:
            headers = client.get("/health").headers
            assert ("strict-transport-security" in headers) is https
            assert headers["cross-origin-resource-policy"] == "same-origin"
            assert headers["referrer-policy"] == "no-referrer"


def test_the_first_key_is_written_where_only_its_owner_can_read_it(client: Client, settings: Settings) -> None:
    file = key_file(settings.database_url)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert file.parent == (sqlite_file(settings.database_url) or file).parent
    assert [each.name for each in file.parent.glob("*.key")] == [file.name]
    assert client.get("/keys").json()["total"] == 1


def test_the_place_of_the_first_key_is_logged_and_the_key_is_not(
    settings: Settings, caplog: pytest.LogCaptureFixture
) -> None:
    with signed_in(settings, ScriptedSolver()):
        assert str(key_file(settings.database_url)) in caplog.text
        assert key_file(settings.database_url).read_text().strip() not in caplog.text


def test_a_second_start_makes_no_other_key(settings: Settings) -> None:
    keys = set()
    for _ in range(2):
        with signed_in(settings, ScriptedSolver()) as client:
            assert client.get("/keys").json()["total"] == 1
            keys.add(authorization(settings)["Authorization"])
    assert len(keys) == 1


def test_of_servers_that_start_at_once_one_makes_the_first_key(settings: Settings) -> None:
    async def start() -> list[Path | None]:
        databases = [Database(settings.database_url) for _ in range(4)]
        try:
            await databases[0].migrate()
            return await asyncio.gather(*(prepare(database, settings) for database in databases))
        finally:
            for database in databases:
                await database.close()

    made = asyncio.run(start())
    assert [file for file in made if file is not None] == [key_file(settings.database_url)]
    with signed_in(settings, ScriptedSolver()) as client:
        assert client.get("/keys").json()["total"] == 1


def test_a_server_that_others_can_reach_does_not_start_without_a_key(settings: Settings) -> None:
    reachable = replace(settings, host="0.0.0.0")
    with pytest.raises(ExceptionGroup) as caught, signed_in(reachable, ScriptedSolver()):
        pass
    refused = caught.value.subgroup(NoKeyYet)
    assert refused is not None
    assert "sizewright keys new --scopes" in str(_innermost(refused))
    assert not key_file(settings.database_url).exists()
    with signed_in(settings, ScriptedSolver()):
        pass
    with signed_in(reachable, ScriptedSolver()) as client:
        assert client.get("/patterns").status_code == 200


def test_where_the_key_cannot_be_written_none_is_made(settings: Settings) -> None:
    key_file(settings.database_url).mkdir()

    async def start() -> None:
        database = Database(settings.database_url)
        await database.migrate()
        try:
            await prepare(database, settings)
        finally:
            await database.close()

    with pytest.raises(OSError, match="sizewright"):
        asyncio.run(start())
    key_file(settings.database_url).rmdir()
    with signed_in(settings, ScriptedSolver()) as client:
        assert client.get("/keys").json()["total"] == 1


@pytest.mark.parametrize(
    ("host", "alone"),
    [
        ("127.0.0.1", True),
        ("127.8.0.1", True),
        ("::1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.168.1.7", False),
        ("shop.example", False),
    ],
)
def test_which_addresses_others_can_reach(host: str, alone: bool) -> None:
    assert on_loopback(host) is alone
