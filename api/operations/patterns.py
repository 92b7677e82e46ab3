"""Storing patterns and their revisions, and reading them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar
from uuid import uuid4

from api.operations.checks import gradable
from api.operations.errors import Fault, Missing, NoPrecondition, StaleHead
from api.operations.identity import revision_name, written
from api.storage.patterns import PatternStore

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.operations.bench import Bench
    from api.storage.records import Page, PatternRecord, RevisionEntry, RevisionRecord


Found = TypeVar("Found")


@dataclass(frozen=True)
class Added:
    """A revision, and whether it was new to its pattern."""

    revision: RevisionRecord
    new: bool
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class Stored:
    """A new pattern, and what its draft still lacks."""

    pattern: PatternRecord
    faults: tuple[Fault, ...]


async def store(bench: Bench, document: dict[str, Any]) -> Stored:
    """Stores a document that can be graded as a new pattern, with the faults that it still has.

    Raises DocumentRefused for any other, and stores nothing.
    """
    text = written(document)
    checked = await gradable(bench, text)
    pattern = str(uuid4())
    revision = revision_name(bench.workshop, pattern, text)
    async with bench.database.transaction() as session:
        created = await PatternStore(session, bench.workshop).create(pattern, checked.name, revision, text)
    return Stored(created, checked.faults)


async def pattern(bench: Bench, name: str) -> PatternRecord:
    """The pattern; raises Missing."""
    async with bench.database.transaction() as session:
        return _there(await PatternStore(session, bench.workshop).pattern(name), "pattern", name)


async def patterns(bench: Bench, limit: int, offset: int) -> Page[PatternRecord]:
    """Patterns in the order in which they were stored."""
    async with bench.database.transaction() as session:
        return await PatternStore(session, bench.workshop).patterns(limit, offset)


async def revision(bench: Bench, name: str, revision: str) -> RevisionRecord:
    """The revision with its document; raises Missing."""
    async with bench.database.transaction() as session:
        found = await PatternStore(session, bench.workshop).revision(name, revision)
    return _there(found, "revision", revision)


async def revisions(bench: Bench, name: str, limit: int, offset: int) -> Page[RevisionEntry]:
    """The revisions of a pattern by number; raises Missing."""
    async with bench.database.transaction() as session:
        store = PatternStore(session, bench.workshop)
        _there(await store.pattern(name), "pattern", name)
        return await store.revisions(name, limit, offset)


async def add_revision(bench: Bench, name: str, document: dict[str, Any], held: Callable[[str], str | None]) -> Added:
    """Makes a document that can be graded the head of its pattern.

    `held` gives, for the current head, the head that the change was made from. A document that the pattern
    has had before becomes its head again under its old number. Raises Missing, NoPrecondition, StaleHead and
    DocumentRefused; then nothing has changed.
    """
    current = await pattern(bench, name)
    base = held(current.head)
    if base is None:
        raise NoPrecondition
    if base != current.head:
        raise StaleHead(name, current.head)
    text = written(document)
    checked = await gradable(bench, text)
    revision = revision_name(bench.workshop, name, text)
    async with bench.database.transaction() as session:
        store = PatternStore(session, bench.workshop)
        if not await store.move_head(name, base, revision, checked.name):
            raise StaleHead(name, _there(await store.pattern(name), "pattern", name).head)
        known = await store.revision(name, revision)
        revised = known or await store.add_revision(name, revision, text)
        return Added(revised, new=known is None, faults=checked.faults)


def _there(found: Found | None, kind: str, name: str) -> Found:
    if found is None:
        raise Missing(kind, name)
    return found
