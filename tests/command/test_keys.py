"""Keys and workshops made on the command line, in the database itself."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from api.access.secrets import read
from api.command import main
from api.operations.opening import key_file
from api.settings import Settings
from tests.api.support import ScriptedSolver, signed_in


@pytest.fixture(autouse=True)
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Settings:
    monkeypatch.setenv("DATABASE_URL", f"sqlite:///{tmp_path / 'x.db'}")
    return Settings.from_environment()


def _said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(arguments) == 0
    return capsys.readouterr().out.strip()


def test_a_new_key_opens_the_server(settings: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    key = _said(capsys, "keys", "new", "--scopes", "read,order,design,keys")
    # With a key there, a server that others can reach starts, and writes none.
    with signed_in(replace(settings, host="0.0.0.0"), ScriptedSolver(), key=key) as client:
        assert client.get("/caller").json()["workshop"]["name"] == "This workshop"
        assert client.get("/keys").json()["total"] == 1
    assert not key_file(settings.database_url).exists()


def test_keys_are_listed_without_their_secrets_and_revoked(capsys: pytest.CaptureFixture[str]) -> None:
    assert _said(capsys, "keys", "list") == "There is no key yet."
    text = _said(capsys, "keys", "new", "--scopes", "order,read", "--says", "the till", "--days", "30")
    key = read(text)
    assert key is not None
    line = _said(capsys, "keys", "list").splitlines()[-1]
    assert line.startswith(key.name)
    assert "read, order" in line
    assert "until" in line
    assert key.secret not in line
    _said(capsys, "keys", "revoke", text)
    assert "revoked" in _said(capsys, "keys", "list")


def test_a_workshop_comes_with_its_first_key(settings: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    key = _said(capsys, "workshops", "new", "Next door")
    house, other = _said(capsys, "workshops", "list").splitlines()[-2:]
    assert house.endswith("This workshop")
    assert other.endswith("Next door")
    more = _said(capsys, "keys", "new", "--scopes", "read", "--workshop", other.split()[0])
    for each in (key, more):
        with signed_in(settings, ScriptedSolver(), key=each) as client:
            assert client.get("/caller").json()["workshop"] == {"id": other.split()[0], "name": "Next door"}


@pytest.mark.parametrize(
    "arguments",
    [
        ["keys", "new"],
        ["keys", "new", "--scopes", "all"],
        ["keys", "new", "--scopes", ""],
        ["keys", "new", "--scopes", "read", "--days", "0"],
        ["keys", "new", "--scopes", "read", "--says", "two\nlines"],
        ["keys"],
        ["workshops", "new"],
    ],
)
def test_what_is_not_written_as_it_should_be_ends_with_2(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["keys", "revoke", "0123456789abcdef"], "There is no key"),
        (["keys", "new", "--scopes", "read", "--workshop", "elsewhere"], "There is no workshop"),
        (["serve", "--host", "0.0.0.0"], "sizewright keys new --scopes"),
    ],
)
def test_what_cannot_be_done_says_what_would_do(
    capsys: pytest.CaptureFixture[str], arguments: list[str], says: str
) -> None:
    assert main(arguments) == 2
    assert says in capsys.readouterr().err
