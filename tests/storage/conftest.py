from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterator
from pathlib import Path
from uuid import uuid4

import pytest

from api.storage.database import Database
from tests.postgresql import Server

KINDS = ("sqlite", "postgresql")
New = Callable[..., str]


@pytest.fixture(params=KINDS)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def new(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[New]:
    """Gives the address of a new database without tables, of a kind."""
    made: list[str] = []

    def address(kind: str) -> str:
        name = f"a{uuid4().hex}"
        if kind == "sqlite":
            return f"sqlite+aiosqlite:///{tmp_path / 'folder' / name}.db"
        server: Server = request.getfixturevalue("postgresql")
        server.run("postgres", f"CREATE DATABASE {name}")
        made.append(name)
        return server.url(name)

    yield address
    for name in made:
        request.getfixturevalue("postgresql").run("postgres", f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def url(kind: str, new: New) -> str:
    return new(kind)


@pytest.fixture
async def database(url: str, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Database]:
    """A database of each kind with every migration, which does not wait long for locks."""
    for of_kind in KINDS:
        monkeypatch.setattr(f"api.storage.{of_kind}.LOCK_WAIT_MILLISECONDS", 2000)
    opened = Database(url)
    await opened.migrate()
    yield opened
    await opened.close()
