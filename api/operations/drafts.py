"""Drafts: documents in work, sound or not, changed step by step, with every step kept."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from api.operations.errors import DraftMoved, Fault, Missing, NoPrecondition, NothingToGoTo, RequestRefused
from api.operations.identity import written
from api.operations.json_patch import patched
from api.operations.patterns import add_revision, store
from api.operations.patterns import pattern as read_pattern
from api.operations.patterns import revision as read_revision
from api.operations.solving import solved
from api.storage.drafts import Change, DraftRecord, DraftStore

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from api.operations.bench import Bench
    from api.operations.grades import Asked
    from api.storage.drafts import DraftEntry, DraftState
    from api.storage.records import Page

UNNAMED = "without a name"
MOST_NAME = 200
STARTED = "started"


@dataclass(frozen=True)
class Published:
    """Where a draft went, what is left to mend, and the draft after it."""

    pattern: str
    revision: str
    number: int
    faults: tuple[Fault, ...]
    draft: DraftRecord


async def start(bench: Bench, document: dict[str, Any]) -> DraftRecord:
    """A new draft of any document, sound or not."""
    return await _started(bench, _change(document, STARTED), None, None)


async def start_from(bench: Bench, pattern: str) -> DraftRecord:
    """A new draft of the head of a pattern. Raises Missing."""
    head = (await read_pattern(bench, pattern)).head
    source = await read_revision(bench, pattern, head)
    return await _started(bench, _change(json.loads(source.document), STARTED), pattern, head)


async def start_from_list(
    bench: Bench, name: str, unit: str, *, csv: str | None = None, xlsx: str | None = None
) -> DraftRecord:
    """A new draft of a piece list, as CSV or as a workbook in Base64. Raises RequestRefused with its faults by cell."""
    document = await solved(bench, "piece_list", name=name, unit=unit, csv=csv, xlsx=xlsx)
    return await _started(bench, _change(document, "begun from a piece list"), None, None)


async def read(bench: Bench, draft: str) -> DraftRecord:
    """A draft with its document. Raises Missing."""
    async with bench.database.transaction() as session:
        found = await DraftStore(session, bench.workshop).draft(draft)
    if found is None:
        raise Missing("draft", draft)
    return found


async def drafts(bench: Bench, limit: int, offset: int) -> Page[DraftEntry]:
    """Drafts, the last changed first."""
    async with bench.database.transaction() as session:
        return await DraftStore(session, bench.workshop).drafts(limit, offset)


async def states(bench: Bench, draft: str, limit: int, offset: int) -> Page[DraftState]:
    """The history of a draft, the last state first. Raises Missing."""
    await read(bench, draft)
    async with bench.database.transaction() as session:
        return await DraftStore(session, bench.workshop).states(draft, limit, offset)


async def change(
    bench: Bench, draft: str, held: Callable[[str], str | None], patch: Sequence[dict[str, Any]], says: str
) -> DraftRecord:
    """Changes a draft by a JSON Patch. Raises Missing, NoPrecondition, DraftMoved and RequestRefused."""
    current = await _held(bench, draft, held)
    document = patched(json.loads(current.document), patch)
    if not isinstance(document, dict):
        raise RequestRefused([Fault("patch", "what comes of it is no object", "let the document be an object")])
    new = _change(document, says)
    async with bench.database.transaction() as session:
        moved = await DraftStore(session, bench.workshop).change(current, new)
    return await _after(bench, draft, moved=moved)


async def rename(
    bench: Bench, draft: str, held: Callable[[str], str | None], kind: str, old: str, new: str
) -> DraftRecord:
    """Gives a part another name, and everything that names it, in one change; raises as `change` does."""
    current = await _held(bench, draft, held)
    document = await solved(bench, "rename", document=current.document, kind=kind, old=old, new=new)
    renamed = _change(document, f"{kind} {old} renamed {new}")
    async with bench.database.transaction() as session:
        moved = await DraftStore(session, bench.workshop).change(current, renamed)
    return await _after(bench, draft, moved=moved)


async def undo(bench: Bench, draft: str, held: Callable[[str], str | None]) -> DraftRecord:
    """Goes to the state before. Raises Missing, NoPrecondition, DraftMoved and NothingToGoTo."""
    current = await _held(bench, draft, held)
    return await _go(bench, current, current.undo, "undo")


async def redo(bench: Bench, draft: str, held: Callable[[str], str | None]) -> DraftRecord:
    """Goes to the newest state made from this one. Raises as `undo` does."""
    current = await _held(bench, draft, held)
    return await _go(bench, current, current.redo, "redo")


async def publish(bench: Bench, draft: str, held: Callable[[str], str | None], over: str | None = None) -> Published:
    """Makes a draft a pattern, or a new revision of the pattern that it was started from.

    `over` names the head of the pattern that may be left behind; without it that is the one the draft was started
    from. Raises Missing, NoPrecondition, DraftMoved, StaleHead and DocumentRefused.
    """
    current = await _held(bench, draft, held)
    document = json.loads(current.document)
    if current.pattern is None:
        stored = await store(bench, document)
        pattern, revision, number, faults = stored.pattern.id, stored.pattern.head, 1, stored.faults
    else:
        base = over or current.base
        added = await add_revision(bench, current.pattern, document, lambda _: base)
        pattern, faults = current.pattern, added.faults
        revision, number = added.revision.id, added.revision.number
    async with bench.database.transaction() as session:
        moved = await DraftStore(session, bench.workshop).publish(current, pattern, revision)
    return Published(pattern, revision, number, faults, await _after(bench, draft, moved=moved))


async def remove(bench: Bench, draft: str, held: Callable[[str], str | None]) -> None:
    """Takes a draft away with its history. Raises Missing, NoPrecondition and DraftMoved."""
    current = await _held(bench, draft, held)
    async with bench.database.transaction() as session:
        removed = await DraftStore(session, bench.workshop).remove(current)
    if not removed:
        await _after(bench, draft, moved=False)


async def trial(bench: Bench, draft: str, asked: Asked) -> dict[str, Any]:
    """A size of a draft as it is now, and the answer to what was asked, as JSON texts; stores nothing.

    Raises Missing, DocumentRefused, RequestRefused, SizeConflict, RulerTooCoarse and TooMuchWork.
    """
    current = await read(bench, draft)
    graded: dict[str, Any] = await solved(
        bench, "grade", document=current.document, size=asked.size, request=asked.request, ruler=asked.ruler
    )
    return graded


async def picture(bench: Bench, draft: str, lit: str | None) -> str:
    """The pieces of a draft that can be drawn, at the base size, as SVG; one seam or edge lit.

    Raises Missing and TooMuchWork.
    """
    current = await read(bench, draft)
    return str(await solved(bench, "draft_picture", document=current.document, lit=lit))


async def _started(bench: Bench, first: Change, pattern: str | None, base: str | None) -> DraftRecord:
    draft = str(uuid4())
    async with bench.database.transaction() as session:
        await DraftStore(session, bench.workshop).create(draft, first, pattern, base)
    return await read(bench, draft)


async def _held(bench: Bench, draft: str, held: Callable[[str], str | None]) -> DraftRecord:
    """The draft, where the change was made from its present state."""
    current = await read(bench, draft)
    version = held(str(current.version))
    if version is None:
        raise NoPrecondition
    if version != str(current.version):
        raise DraftMoved(current.version, current.says, current.document)
    return current


async def _go(bench: Bench, current: DraftRecord, number: int | None, way: str) -> DraftRecord:
    if number is None:
        raise NothingToGoTo(way)
    async with bench.database.transaction() as session:
        kept = DraftStore(session, bench.workshop)
        document = await kept.document(current.id, number)
        moved = document is not None and await kept.go(current, number, _name(json.loads(document)))
    return await _after(bench, current.id, moved=moved)


async def _after(bench: Bench, draft: str, *, moved: bool) -> DraftRecord:
    current = await read(bench, draft)
    if not moved:
        raise DraftMoved(current.version, current.says, current.document)
    return current


def _change(document: dict[str, Any], says: str) -> Change:
    return Change(written(document), _name(document), says)


def _name(document: Any) -> str:
    name = document.get("name") if isinstance(document, dict) else None
    return name.strip()[:MOST_NAME] if isinstance(name, str) and name.strip() else UNNAMED
