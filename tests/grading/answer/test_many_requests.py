"""Requests drawn at random: the verifier, which shares no code, agrees with every conflict, and every remedy does."""

from __future__ import annotations

import json
from random import Random
from typing import Any

import pytest

from grading import verify
from grading.errors import Conflict, RulerOutOfReach
from grading.pipeline import conflict_document, grade_size, read_document
from tests.conftest import DEMO_NAMES

Json = dict[str, Any]
DRAWN = 14


def drawn(document: Json, random: Random) -> Json:
    """A request that asks for much at once."""
    sized = {
        name: float(each["base"])
        for name, each in document["dimensions"].items()
        if each.get("sizing", "proportion") == "proportion" and each.get("kind") != "count"
    }
    chosen = random.sample(sorted(sized), 3)
    request: Json = {"set": {name: f"{round(sized[name] * random.uniform(0.5, 1.8))} mm" for name in chosen[:2]}}
    if random.random() < 0.5:
        request["keep"] = chosen[2:]
    if random.random() < 0.5 and document.get("inside"):
        request["hold"] = [{"object": [random.randint(100, 450), random.randint(100, 400), random.randint(10, 100)]}]
    if random.random() < 0.4 and document.get("outside"):
        sides = [random.randint(100, 500) for _ in range(3)]
        request["within"] = {"box": sides, "turned": random.choice(["any", "as given"])}
    if random.random() < 0.3:
        request["ruler"] = "1/8 in"
    return request


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_conflict_is_shown_and_every_remedy_does(name: str, demo_documents: dict[str, Json]) -> None:
    document, random = demo_documents[name], Random(name)
    pattern = read_document(document)
    conflicts = 0
    for _ in range(DRAWN):
        request = drawn(document, random)
        try:
            grade_size(pattern, request=request)
        except RulerOutOfReach:
            continue
        except Conflict as conflict:
            conflicts += 1
            written = json.loads(json.dumps(conflict_document(conflict)))
            for shown in (written, *({**written, **further} for further in written.get("further", []))):
                assert verify.judge_conflict(document, shown).holds, request
            assert written["limits"] and written["remedies"], request
            for remedy in written["remedies"]:
                if remedy["request"] is not None:
                    assert grade_size(pattern, request=remedy["request"]), (request, remedy)
    assert conflicts >= DRAWN // 4
