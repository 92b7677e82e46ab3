"""What keeps the pages safe: their policy, their cookie, and forms that other sites have sent."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from api.app import create_app
from api.pages.rendering import FOLDERS, STATIC
from api.settings import Settings
from tests.api.support import ScriptedSolver

Client = TestClient[Litestar]
OWN = {"Sec-Fetch-Site": "same-origin"}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Client]:
    """A browser, so to say, that has not signed in."""
    settings = Settings(database_url=f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}")
    with TestClient(create_app(settings, solver=ScriptedSolver()), base_url="http://127.0.0.1") as started:
        yield started


@pytest.fixture
def key(client: Client, tmp_path: Path) -> str:
    """The first key, which the server has written down."""
    return (tmp_path / "sizewright.key").read_text(encoding="utf-8").split()[-1]


def test_pages_run_no_script_and_no_style_but_their_own(client: Client) -> None:
    policy = client.get("/desk/sign-in").headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    for part in ("script-src 'self'", "style-src 'self'", "form-action 'self'", "frame-ancestors 'none'"):
        assert part in policy.split("; ")


def test_no_template_has_script_or_style_in_it() -> None:
    for file in (file for folder in FOLDERS for file in folder.glob("*.html")):
        text = file.read_text(encoding="utf-8")
        assert not re.search(r"\sstyle\s*=|<style|\son[a-z]+\s*=|javascript:|hx-on|\bjs:", text), file.name
        assert not re.search(r"<script(?![^>]*\ssrc=)", text), file.name


def test_the_library_for_interaction_is_the_one_that_is_named() -> None:
    notice = (STATIC / "NOTICE").read_text(encoding="utf-8")
    version = re.search(r"htmx ([0-9.]+)", notice)
    assert version is not None
    assert f'version:"{version[1]}"' in (STATIC / "htmx.min.js").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "https://shop.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1", "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_forms_of_other_sites_are_refused(client: Client, key: str, headers: dict[str, str]) -> None:
    client.cookies.set("sizewright_key", key)
    refused = client.post("/desk/drafts", data={"name": "Foreign", "system": "metric"}, headers=headers)
    assert refused.status_code == 403
    assert "another site" in refused.text
    assert client.get("/drafts", headers={"Authorization": f"Bearer {key}"}).json()["total"] == 0


@pytest.mark.parametrize("headers", [OWN, {"Origin": "http://127.0.0.1"}])
def test_own_forms_are_taken(client: Client, key: str, headers: dict[str, str]) -> None:
    client.cookies.set("sizewright_key", key)
    begun = client.post("/desk/drafts", data={"name": "Own"}, headers=headers, follow_redirects=False)
    assert begun.status_code == 303
    assert re.fullmatch(r"/desk/drafts/[0-9a-f-]{36}", begun.headers["location"])


def test_the_key_is_kept_out_of_reach_of_scripts_and_other_sites(client: Client, key: str) -> None:
    answer = client.post("/desk/sign-in", data={"key": key}, headers=OWN, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/desk")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert "secure" not in cookie
    elsewhere = client.post("https://desk.example/desk/sign-in", data={"key": key}, headers=OWN, follow_redirects=False)
    assert "secure" in elsewhere.headers["set-cookie"].lower()


def test_the_interface_does_not_take_the_cookie_of_the_pages(client: Client, key: str) -> None:
    client.cookies.set("sizewright_key", key)
    assert client.get("/desk").status_code == 200
    assert client.get("/patterns").status_code == 401


def test_a_page_that_needs_a_key_leads_to_the_sign_in_page(client: Client) -> None:
    answer = client.get("/desk", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/desk/sign-in?back=/desk")
    part = client.get("/desk", headers={"HX-Request": "true"})
    assert part.headers["hx-redirect"] == "/desk/sign-in?back=/desk"


@pytest.mark.parametrize("back", ["https://evil.example", "//evil.example", "/\\evil.example", "desk", "/desk\r\nX: y"])
def test_signing_in_leads_nowhere_else(client: Client, key: str, back: str) -> None:
    answer = client.post("/desk/sign-in", data={"key": key, "back": back}, headers=OWN, follow_redirects=False)
    assert answer.headers["location"] == "/desk"


@pytest.mark.parametrize("wrong", ["", "sw_nothing", "a b", "ü", "x" * 500])
def test_what_is_no_key_is_said_to_be_none(client: Client, wrong: str) -> None:
    answer = client.post("/desk/sign-in", data={"key": wrong}, headers=OWN)
    assert answer.status_code == 401
    assert "set-cookie" not in answer.headers
    assert 'role="alert"' in answer.text


def test_what_people_write_is_never_markup(client: Client, key: str) -> None:
    client.cookies.set("sizewright_key", key)
    client.post("/desk/drafts", data={"name": "<script>alert(1)</script>"}, headers=OWN)
    desk = client.get("/desk").text
    assert "<script>alert" not in desk
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in desk


def test_the_front_page_is_the_desk(client: Client) -> None:
    answer = client.get("/", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/desk")


def test_an_address_without_a_page_says_so(client: Client) -> None:
    answer = client.get("/desk/nothing")
    assert answer.status_code == 404
    assert "Nothing is here" in answer.text
