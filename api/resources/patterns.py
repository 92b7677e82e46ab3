"""Patterns and their revisions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import msgspec
from litestar import Controller, Response, get, post
from litestar.params import JSONBody

from api.access.scopes import DESIGN, READ, asks
from api.negotiation import held_state, strong_tag
from api.operations import patterns
from api.operations.errors import Fault as Told
from api.problems import documented
from api.query import WHOLE
from api.resources.answers import ETAG, LOCATION, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.parameters import IfMatch, IfNoneMatch, Limit, Offset, PatternPath, RevisionPath
from api.schemas.patterns import (
    Draft,
    Pattern,
    PatternList,
    Revision,
    RevisionEntry,
    RevisionList,
    StoredPattern,
    StoredRevision,
)
from api.schemas.problems import Fault
from api.storage.records import PatternRecord, RevisionRecord

WITH_BODY = ("unreadable-body", "body-too-large", "unsupported-body", "faults", "busy", "out-of-time")
PAGED = {"query": {"limit": WHOLE, "offset": WHOLE}}


class PatternController(Controller):
    """Patterns, whose heads move from revision to revision."""

    path = "/patterns"
    tags = ("Patterns",)
    opt = asks(READ)

    @post(
        operation_id="storePattern",
        summary="Store a pattern",
        responses=documented(*WITH_BODY),
        response_headers=[LOCATION, ETAG],
        opt=asks(DESIGN),
    )
    async def store(self, data: JSONBody[Draft], bench: AtBench) -> Response[StoredPattern]:
        """Stores a pattern document as a new pattern with its first revision; all faults come at once.

        A draft that cannot be read or drawn, or that contradicts itself, is refused. One that can be graded is stored,
        with the faults that are left to mend.
        """
        stored = await patterns.store(bench, data.document)
        record = stored.pattern
        headers = {"Location": f"/patterns/{record.id}", "ETag": strong_tag(record.head)}
        told = StoredPattern(**_pattern(record).model_dump(), faults=shown(stored.faults))
        return Response(told, headers=headers)

    @get(operation_id="listPatterns", summary="List patterns", responses=documented("faults"), opt=PAGED)
    async def list_all(self, bench: AtBench, limit: Limit = 20, offset: Offset = 0) -> PatternList:
        """Lists patterns in the order in which they were stored."""
        page = await patterns.patterns(bench, limit, offset)
        return PatternList(items=[_pattern(item) for item in page.items], total=page.total)

    @get(
        "/{pattern_id:str}",
        operation_id="readPattern",
        summary="Read a pattern",
        responses=documented(),
        response_headers=[ETAG],
    )
    async def read(
        self, bench: AtBench, pattern_id: PatternPath, if_none_match: IfNoneMatch = None
    ) -> Response[Pattern]:
        """Gives a pattern and its head; the ETag is the head."""
        found = await patterns.pattern(bench, pattern_id)
        return conditional(Response(_pattern(found)), strong_tag(found.head), if_none_match)

    @post(
        "/{pattern_id:str}/revisions",
        operation_id="addRevision",
        summary="Add a revision",
        responses=documented(*WITH_BODY, "stale-head", "no-precondition"),
        response_headers=[LOCATION, ETAG],
        opt=asks(DESIGN),
    )
    async def add(
        self, data: JSONBody[Draft], bench: AtBench, pattern_id: PatternPath, if_match: IfMatch = None
    ) -> Response[StoredRevision]:
        """Makes a document the pattern's head. One that the pattern has had before is answered with 200."""
        added = await patterns.add_revision(bench, pattern_id, data.document, lambda head: held_state(if_match, head))
        entry = added.revision
        headers = {"Location": f"/patterns/{pattern_id}/revisions/{entry.id}", "ETag": strong_tag(entry.id)}
        told = StoredRevision(**_entry(entry).model_dump(), faults=shown(added.faults))
        return Response(told, status_code=201 if added.new else 200, headers=headers)

    @get(
        "/{pattern_id:str}/revisions",
        operation_id="listRevisions",
        summary="List the revisions of a pattern",
        responses=documented("faults"),
        opt=PAGED,
    )
    async def list_revisions(
        self, bench: AtBench, pattern_id: PatternPath, limit: Limit = 20, offset: Offset = 0
    ) -> RevisionList:
        """Lists the revisions of a pattern by number, without their documents."""
        page = await patterns.revisions(bench, pattern_id, limit, offset)
        items = [
            RevisionEntry(id=item.id, pattern=item.pattern, number=item.number, created_at=item.created_at)
            for item in page.items
        ]
        return RevisionList(items=items, total=page.total)

    @get(
        "/{pattern_id:str}/revisions/{revision_id:str}",
        operation_id="readRevision",
        summary="Read a revision",
        responses=documented(),
        response_headers=[ETAG],
    )
    async def read_revision(
        self, bench: AtBench, pattern_id: PatternPath, revision_id: RevisionPath, if_none_match: IfNoneMatch = None
    ) -> Response[Revision]:
        """Gives a revision with its document, which never changes."""
        found = await patterns.revision(bench, pattern_id, revision_id)
        return conditional(raw(_with_document(found)), strong_tag(found.id), if_none_match)


def shown(faults: tuple[Told, ...]) -> list[Fault]:
    """Faults as they are sent."""
    return [Fault(**asdict(fault)) for fault in faults]


def _pattern(record: PatternRecord) -> Pattern:
    return Pattern(
        id=record.id,
        name=record.name,
        head=record.head,
        revision_count=record.revision_count,
        created_at=record.created_at,
    )


def _entry(record: RevisionRecord) -> RevisionEntry:
    return RevisionEntry(id=record.id, pattern=record.pattern, number=record.number, created_at=record.created_at)


def _with_document(record: RevisionRecord) -> bytes:
    entry: dict[str, Any] = _entry(record).model_dump(mode="json")
    return msgspec.json.encode({**entry, "document": msgspec.Raw(record.document.encode())})
