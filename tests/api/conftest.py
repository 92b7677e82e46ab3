from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from api.settings import Settings
from tests.api.support import ScriptedSolver, pattern_document, signed_in
from tests.postgresql import Server
from tests.storage.support import emptied, migrated

Client = TestClient[Litestar]

OF_STORAGE = {
    "test_access",
    "test_access_forms",
    "test_access_isolation",
    "test_drafts",
    "test_grade_addresses",
    "test_job_leases",
    "test_layout_addresses",
    "test_notification_courier",
    "test_notifications",
    "test_odd_values",
    "test_orders",
    "test_orders_by_form",
    "test_pattern_addresses",
    "test_testers_records",
}
"""Modules whose tests are of what is stored, and are run on both kinds of database."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Runs tests of what is stored on both kinds; those with many cases, which try what may be sent, on one."""
    if "storage" in metafunc.fixturenames:
        of_storage = metafunc.module.__name__.rpartition(".")[2] in OF_STORAGE
        of_cases = any(metafunc.definition.iter_markers("parametrize"))
        metafunc.parametrize("storage", ["sqlite", "postgresql"] if of_storage and not of_cases else ["sqlite"])


@pytest.fixture(scope="session")
def tables(postgresql: Server) -> str:
    """A database on PostgreSQL that has every migration."""
    postgresql.run("postgres", "CREATE DATABASE sizewright")
    migrated(postgresql.url("sizewright"))
    return "sizewright"


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database on SQLite that has every migration, to be copied: migrating takes longer than most tests."""
    file = tmp_path_factory.mktemp("migrated") / "sizewright.db"
    migrated(f"sqlite+aiosqlite:///{file}")
    assert not file.with_name(f"{file.name}-wal").exists()
    return file


@pytest.fixture
def database_url(storage: str, tmp_path: Path, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """The address of a database that holds nothing yet; the working folder is one where a key may be written."""
    if storage == "sqlite":
        shutil.copy(request.getfixturevalue("empty_file"), tmp_path / "sizewright.db")
        return f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}"
    monkeypatch.chdir(tmp_path)
    server: Server = request.getfixturevalue("postgresql")
    return emptied(server, request.getfixturevalue("tables"))


@pytest.fixture
def settings(database_url: str) -> Settings:
    return Settings(database_url=database_url, worker_idle=600.0)


@pytest.fixture
def solver() -> ScriptedSolver:
    return ScriptedSolver()


@pytest.fixture
def client(settings: Settings, solver: ScriptedSolver) -> Iterator[Client]:
    with signed_in(settings, solver) as started:
        yield started


@pytest.fixture
def pattern(client: Client) -> dict[str, str]:
    answer = client.post("/patterns", json={"document": pattern_document()})
    assert answer.status_code == 201
    stored: dict[str, str] = answer.json()
    return stored


@pytest.fixture
def grade(client: Client, pattern: dict[str, str]) -> dict[str, str]:
    address = f"/patterns/{pattern['id']}/revisions/{pattern['head']}/grades"
    answer = client.post(address, json={"size": "mini"})
    assert answer.status_code == 201
    made: dict[str, str] = answer.json()
    return made
