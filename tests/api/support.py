"""A solver that answers at once, and what the tests of the interface send."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from litestar import Litestar
from litestar.testing import TestClient

from api.app import create_app
from api.jobs.executor import OutOfTime, QueueFull, TaskRefused, WorkerFailed
from api.operations.bench import Solver
from api.operations.keys import Shown, Wanted, issue
from api.operations.opening import key_file, new_workshop
from api.settings import Settings
from api.storage.database import Database
from api.storage.workshops import HOUSE
from grading.document.renaming import renamed
from grading.errors import RequestFaults

NOWHERE = "0" * 64
NO_PATTERN = "00000000-0000-4000-8000-000000000000"

PROGRESS = {"length": "912 mm", "least": "890 mm", "above": "at most 2.5 % above the least possible"}
TOO_WIDE = {
    "path": "pieces.panel",
    "problem": "A (main) needs 500 mm across, and main has 400 mm",
    "remedy": "split it",
}
REFUSALS: dict[str, dict[str, Any]] = {
    "none": {
        "kind": "request",
        "faults": [{"path": "settings.effort", "problem": "it is none", "remedy": "write quick"}],
    },
    "wide": {"kind": "fit", "faults": [TOO_WIDE]},
    "old": {"kind": "outdated"},
    "long": {"kind": "stopped"},
}
CONFLICT = {
    "id": "rule:shoulder",
    "says": "handle_length >= 600",
    "because": "the handles go over a shoulder",
    "path": "rules.shoulder",
}


@contextmanager
def signed_in(
    settings: Settings,
    solver: Solver | None = None,
    *,
    key: str | None = None,
    raise_server_exceptions: bool = False,
) -> Iterator[TestClient[Litestar]]:
    """A server that has started, and a client that sends a key with every request: its first one, or the one given."""
    app = create_app(settings, solver=solver)
    with TestClient(app, raise_server_exceptions=raise_server_exceptions) as client:
        client.headers.update(authorization(settings) if key is None else {"Authorization": f"Bearer {key}"})
        yield client


def authorization(settings: Settings) -> dict[str, str]:
    """The header with the first key of the house, which a server on loopback has written into a file."""
    return {"Authorization": f"Bearer {key_file(settings.database_url).read_text().strip()}"}


def new_key(settings: Settings, *scopes: str, workshop: str = HOUSE, days: int | None = None) -> dict[str, str]:
    """The header with a new key of a workshop, made in the database itself; `days` below 0 makes one that has ended."""

    async def issued(database: Database) -> Shown:
        async with database.transaction() as session:
            return await issue(session, workshop, Wanted.for_days(frozenset(scopes), "a test's", days))

    return _signed(settings, issued)


def second_workshop(settings: Settings) -> dict[str, str]:
    """The header with the first key of another workshop in the same database."""
    return _signed(settings, lambda database: new_workshop(database, "Next door"))


def _signed(settings: Settings, made: Callable[[Database], Awaitable[Shown]]) -> dict[str, str]:
    async def work() -> str:
        database = Database(settings.database_url)
        try:
            return (await made(database)).text
        finally:
            await database.close()

    return {"Authorization": f"Bearer {asyncio.run(work())}"}


@dataclass
class ScriptedSolver:
    """Stands in for the workers: what it does is decided by the name of the document or of the size."""

    asked: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    held: bool = False
    """Whether long tasks that are called slow wait; they go on once it is False."""
    full: int = 0
    """How many times the queue is full for long tasks."""

    async def run_long(
        self, task: str, begun: Callable[[], None], heard: Callable[[Any], None], **arguments: Any
    ) -> Any:
        self.asked.append((task, arguments))
        effort = arguments["settings"].get("effort", "usual")
        _fail_on_purpose(effort)
        if self.full:
            self.full -= 1
            raise QueueFull
        if effort != "queued":
            begun()
            heard({"main": PROGRESS})
        while effort in {"slow search", "queued", "fails late"} and self.held:
            await asyncio.sleep(0.01)
        if effort == "fails late":
            raise WorkerFailed("secret traceback")
        if effort in REFUSALS:
            raise TaskRefused(REFUSALS[effort])
        document = layouts_document(arguments["settings"].get("seed", 0))
        return {"document": json.dumps(document), "csv": "material,piece\r\nmain,panel\r\n"}

    async def run(self, task: str, **arguments: Any) -> Any:
        self.asked.append((task, arguments))
        tasks: dict[str, Callable[[dict[str, Any]], Any]] = {
            "check": self._check,
            "grade": self._grade,
            "judge": self._judge,
            "map": self._map,
            "chart": self._chart,
            "difference": self._difference,
            "picture": self._picture,
            "draft_picture": self._draft_picture,
            "rename": self._rename,
            "supplies": self._supplies,
        }
        return tasks[task](arguments)

    def _check(self, arguments: dict[str, Any]) -> dict[str, Any]:
        document = json.loads(arguments["document"])
        _fail_on_purpose(document.get("name"))
        faults = [
            {"path": name, "problem": "it is missing", "remedy": "add it"}
            for name in ("name", "pieces")
            if name not in document
        ]
        if faults:
            return {"faults": faults}
        held = {"pieces": len(document["pieces"]), "seams": 0, "relations": 3, "claims": 5}
        left = (
            [{"path": "steps", "problem": "there are none", "remedy": "add them"}]
            if document["name"] == "unfinished"
            else []
        )
        return {"faults": left, "name": document["name"], "gradable": True, **held}

    def _grade(self, arguments: dict[str, Any]) -> dict[str, str]:
        size = arguments["size"]
        _fail_on_purpose(size)
        if size == "contradictory":
            raise TaskRefused({"kind": "conflict", "relations": [CONFLICT]})
        if size == "coarse":
            raise TaskRefused({"kind": "ruler", "relations": [CONFLICT], "ruler": "5 mm", "remedy": "Use 2 mm."})
        if size not in (None, "base", "mini"):
            fault = {"path": "size", "problem": f"there is no size {size}", "remedy": "ask for base or mini"}
            raise TaskRefused({"kind": "request", "faults": [fault]})
        grade = grade_document(size, arguments["request"])
        proof = {"certificate": {}, "claims": [{"name": "closed:panel", "holds": True}]}
        return {
            "document": json.dumps(grade),
            "proof": json.dumps(proof),
            "answer": json.dumps({"says": [f"as wished in {size}"]}),
            "cut_list_csv": "letter,piece\r\nA,panel\r\n",
        }

    def _picture(self, arguments: dict[str, Any]) -> str:
        return f"<svg xmlns='http://www.w3.org/2000/svg'><title>{arguments['cloth']}</title></svg>"

    def _draft_picture(self, arguments: dict[str, Any]) -> str:
        return f"<svg xmlns='http://www.w3.org/2000/svg'><title>{arguments['lit']}</title></svg>"

    def _rename(self, arguments: dict[str, Any]) -> Any:
        try:
            return renamed(json.loads(arguments["document"]), arguments["kind"], arguments["old"], arguments["new"])
        except RequestFaults as refused:
            faults = [{"path": each.path, "problem": each.problem, "remedy": each.remedy} for each in refused.faults]
            raise TaskRefused({"kind": "request", "faults": faults}) from refused

    def _supplies(self, arguments: dict[str, Any]) -> dict[str, str]:
        asked = {"settings": arguments["settings"], "with_cloth": arguments["layouts"] is not None}
        return {"document": json.dumps(asked), "csv": "kind,name\r\nzip,main_zip\r\n"}

    def _map(self, arguments: dict[str, Any]) -> str:
        name = json.loads(arguments["document"])["name"]
        if name == "Map too slow":
            raise OutOfTime
        return json.dumps({"kind": "map", "pattern": name})

    def _judge(self, arguments: dict[str, Any]) -> dict[str, Any]:
        judged = json.loads(arguments.get("measured") or arguments["grade"])
        if "unreadable" in judged:
            fault = {"path": "$", "problem": "this is no grade", "remedy": "send one"}
            raise TaskRefused({"kind": "request", "faults": [fault]})
        return {"holds": True, "claims": [], "measured": "measured" in arguments}

    def _chart(self, arguments: dict[str, Any]) -> dict[str, str]:
        name = json.loads(arguments["document"])["name"]
        return {"document": json.dumps({"pattern": name}), "csv": f"part,measure\r\n{name},\r\n"}

    def _difference(self, arguments: dict[str, Any]) -> str:
        return json.dumps({side: json.loads(arguments[side])["dimensions"] for side in ("old", "new")})


def _fail_on_purpose(name: str | None) -> None:
    failures = {"busy": QueueFull(), "slow": OutOfTime(), "broken": WorkerFailed("secret traceback")}
    if name in failures:
        raise failures[name]


def pattern_document(name: str = "Small pouch", width: float = 120) -> dict[str, Any]:
    """A document that the scripted solver takes."""
    return {"format": 1, "name": name, "dimensions": {"width": {"base": width}}, "pieces": {"panel": {}}}


def grade_document(size: str | None, request: dict[str, Any] | None) -> dict[str, Any]:
    """A grade in the shape that the interface describes, with numbers of no meaning."""
    return {
        "format": 1,
        "kind": "grade",
        "pattern": "Small pouch",
        "size": {"name": size, "request": request or {"scale": 1}},
        "unit": "mm",
        "ruler": "1 mm",
        "dimensions": {},
        "altered": [],
        "stock": {},
        "pieces": {},
        "seams": {},
        "coverings": {},
        "cut_list": [{"letter": "A", "piece": "panel"}],
        "findings": [],
        "steps": [],
        "certificate": {},
    }


def layouts_document(seed: int = 0) -> dict[str, Any]:
    """Layouts with one cloth, and numbers of no meaning."""
    return {"format": 1, "kind": "layouts", "settings": {"seed": seed}, "cloths": {"main": {"length": "912 mm"}}}
