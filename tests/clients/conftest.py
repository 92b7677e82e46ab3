"""A server with workers of its own, as a shop would meet it, with one pattern stored."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from demo_requests.server import running
from tests.notifying.receiver import Receiver, receiving

PATTERN = Path(__file__).parents[2] / "demo_requests" / "patterns" / "allotment_tool_roll.json"
PATIENT = {"SIZEWRIGHT_NOTIFY_PRIVATE": "1", "SIZEWRIGHT_TIME_LIMIT": "300"}


@dataclass(frozen=True)
class Live:
    """Where the server is, a key to it, and the pattern that it has."""

    address: str
    key: str
    pattern: str
    document: dict[str, Any]


@pytest.fixture(scope="session")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    log = tmp_path_factory.mktemp("live") / "server.log"
    document = json.loads(PATTERN.read_text(encoding="utf-8"))
    with pytest.MonkeyPatch.context() as surroundings:
        for name, value in PATIENT.items():
            surroundings.setenv(name, value)
        with running(0, log) as client:
            assert client.key_file is not None
            stored = client.post("/patterns", {"document": document}).json()
            yield Live(client.address, client.key_file.read_text().strip(), stored["id"], document)


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    with receiving() as started:
        yield started
