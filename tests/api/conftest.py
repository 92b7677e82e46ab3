from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from api.settings import Settings
from tests.api.support import ScriptedSolver, pattern_document, signed_in

Client = TestClient[Litestar]


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(database_url=f"sqlite+aiosqlite:///{tmp_path / 'sizewright.db'}", worker_idle=600.0)


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
