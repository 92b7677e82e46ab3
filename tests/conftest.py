"""What tests of all parts share: the demo patterns, read once, and a PostgreSQL."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from grading.pipeline import Prepared, compile_document, read_document
from tests import postgresql as found
from tests.postgresql import Server

settings.register_profile("repeatable", deadline=None, derandomize=True)
settings.load_profile("repeatable")

PATTERNS = Path(__file__).resolve().parents[1] / "demo_requests" / "patterns"
DEMO_NAMES = ("market_tote", "allotment_tool_roll", "ferry_day_pack")


@pytest.fixture(scope="session")
def demo_documents() -> dict[str, dict[str, Any]]:
    """The demo patterns as parsed JSON, by name; not to be changed in place."""
    return {name: json.loads((PATTERNS / f"{name}.json").read_text(encoding="utf-8")) for name in DEMO_NAMES}


@pytest.fixture(scope="session")
def demo_prepared(demo_documents: dict[str, dict[str, Any]]) -> Callable[[str], Prepared]:
    """Gives a demo pattern drawn and compiled for its own ruler, each made once."""
    made: dict[str, Prepared] = {}

    def prepared(name: str) -> Prepared:
        if name not in made:
            made[name] = compile_document(read_document(demo_documents[name]))
        return made[name]

    return prepared


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Server]:
    """A PostgreSQL of this process of tests, without databases of ours."""
    if found.programs() is None:
        pytest.skip(found.MISSING)
    server = Server()
    try:
        server.create()
        server.start()
        yield server
    finally:
        server.stop()
        server.remove()
