"""Drafts."""

from __future__ import annotations

from typing import Any

import msgspec
from litestar import Controller, Response, delete, get, patch, post
from litestar.params import JSONBody

from api.access.scopes import DESIGN, READ, asks
from api.negotiation import content_tag, held_state, strong_tag
from api.operations import drafts
from api.operations.grades import Asked
from api.problems import documented
from api.query import LIT
from api.resources.answers import ETAG, LOCATION, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.layouts import SVG
from api.resources.parameters import DraftPath, IfMatch, IfNoneMatch, Limit, Lit, Offset
from api.resources.patterns import PAGED, WITH_BODY, shown
from api.schemas.drafts import (
    DraftEntry,
    DraftHistory,
    DraftInWork,
    DraftList,
    DraftPatch,
    DraftRequest,
    DraftState,
    Publication,
    PublishedDraft,
    Renaming,
    TrialSize,
)
from api.schemas.grades import GradeRequest
from api.storage.drafts import DraftEntry as Entry
from api.storage.drafts import DraftRecord

SENT = ("unreadable-body", "body-too-large", "unsupported-body", "faults")
HELD = ("stale-draft", "no-precondition")
CHANGED = "a change"


class DraftController(Controller):
    """Drafts, of which every state is kept."""

    path = "/drafts"
    tags = ("Drafts",)
    opt = asks(DESIGN)

    @post(
        operation_id="startDraft",
        summary="Start a draft",
        responses=documented(*WITH_BODY),
        response_headers=[LOCATION, ETAG],
    )
    async def start(self, data: JSONBody[DraftRequest], bench: AtBench) -> Response[DraftInWork]:
        """Starts a draft from any document, sound or not, from the head of a pattern, or from a piece list."""
        if data.pattern is not None:
            made = await drafts.start_from(bench, data.pattern)
        elif data.list is not None:
            made = await drafts.start_from_list(bench, **data.list.model_dump())
        else:
            made = await drafts.start(bench, data.document or {})
        answer = _whole(made, status=201)
        answer.headers["Location"] = f"/drafts/{made.id}"
        return answer

    @get(
        operation_id="listDrafts",
        summary="List drafts",
        responses=documented("faults"),
        opt={**PAGED, **asks(READ)},
    )
    async def list_all(self, bench: AtBench, limit: Limit = 20, offset: Offset = 0) -> DraftList:
        """Lists drafts, the last changed first."""
        page = await drafts.drafts(bench, limit, offset)
        return DraftList(items=[_entry(item) for item in page.items], total=page.total)

    @get(
        "/{draft_id:str}",
        operation_id="readDraft",
        summary="Read a draft",
        responses=documented(),
        response_headers=[ETAG],
        opt=asks(READ),
    )
    async def read(
        self, bench: AtBench, draft_id: DraftPath, if_none_match: IfNoneMatch = None
    ) -> Response[DraftInWork]:
        """Gives a draft as it is now; the ETag is its version."""
        found = await drafts.read(bench, draft_id)
        return conditional(_whole(found), strong_tag(str(found.version)), if_none_match)

    @patch(
        "/{draft_id:str}",
        operation_id="changeDraft",
        summary="Change a draft",
        responses=documented(*SENT, *HELD),
        response_headers=[ETAG],
    )
    async def change(
        self, data: JSONBody[DraftPatch], bench: AtBench, draft_id: DraftPath, if_match: IfMatch = None
    ) -> Response[DraftInWork]:
        """Changes a draft by a JSON Patch (RFC 6902). If somebody else was faster, 412 gives the document as it is."""
        operations = [operation.plain() for operation in data.patch]
        return _whole(
            await drafts.change(
                bench, draft_id, lambda now: held_state(if_match, now), operations, data.says or CHANGED
            )
        )

    @delete(
        "/{draft_id:str}",
        operation_id="removeDraft",
        summary="Remove a draft",
        responses=documented(*HELD),
    )
    async def remove(self, bench: AtBench, draft_id: DraftPath, if_match: IfMatch = None) -> None:
        """Takes a draft away with its history; what was published of it stays."""
        await drafts.remove(bench, draft_id, lambda now: held_state(if_match, now))

    @post(
        "/{draft_id:str}/rename",
        operation_id="renameInDraft",
        summary="Rename a part of a draft",
        status_code=200,
        responses=documented(*WITH_BODY, *HELD),
        response_headers=[ETAG],
    )
    async def rename(
        self, data: JSONBody[Renaming], bench: AtBench, draft_id: DraftPath, if_match: IfMatch = None
    ) -> Response[DraftInWork]:
        """Renames a part, and every reference to it in the document, in one change that can be taken back."""
        return _whole(
            await drafts.rename(bench, draft_id, lambda now: held_state(if_match, now), data.kind, data.old, data.new)
        )

    @post(
        "/{draft_id:str}/undo",
        operation_id="undoDraft",
        summary="Take the last change of a draft back",
        status_code=200,
        responses=documented(*SENT, *HELD, "nothing-to-go-to"),
        response_headers=[ETAG],
    )
    async def undo(self, bench: AtBench, draft_id: DraftPath, if_match: IfMatch = None) -> Response[DraftInWork]:
        """Goes back to the state before; the one that was is kept."""
        return _whole(await drafts.undo(bench, draft_id, lambda now: held_state(if_match, now)))

    @post(
        "/{draft_id:str}/redo",
        operation_id="redoDraft",
        summary="Make a change again that was taken back",
        status_code=200,
        responses=documented(*SENT, *HELD, "nothing-to-go-to"),
        response_headers=[ETAG],
    )
    async def redo(self, bench: AtBench, draft_id: DraftPath, if_match: IfMatch = None) -> Response[DraftInWork]:
        """Goes to the newest state that was made from this one."""
        return _whole(await drafts.redo(bench, draft_id, lambda now: held_state(if_match, now)))

    @post(
        "/{draft_id:str}/trials",
        operation_id="trySizeOfDraft",
        summary="Try a size of a draft",
        status_code=200,
        responses=documented(*WITH_BODY, "conflict", "ruler-out-of-reach"),
    )
    async def try_size(self, data: JSONBody[GradeRequest], bench: AtBench, draft_id: DraftPath) -> Response[TrialSize]:
        """Makes a size of a draft that can be graded, and answers what was asked; it is kept nowhere."""
        made = await drafts.trial(bench, draft_id, Asked(data.size, data.request, data.ruler))
        return raw(f'{{"grade": {made["document"]}, "answer": {made["answer"]}}}'.encode())

    @get(
        "/{draft_id:str}/states",
        operation_id="listDraftStates",
        summary="List the history of a draft",
        responses=documented("faults"),
        opt={**PAGED, **asks(READ)},
    )
    async def states(self, bench: AtBench, draft_id: DraftPath, limit: Limit = 20, offset: Offset = 0) -> DraftHistory:
        """Lists every state that a draft has been in, the last first."""
        page = await drafts.states(bench, draft_id, limit, offset)
        items = [
            DraftState(number=item.number, before=item.before, says=item.says, created_at=item.created_at)
            for item in page.items
        ]
        return DraftHistory(items=items, total=page.total)

    @post(
        "/{draft_id:str}/publish",
        operation_id="publishDraft",
        summary="Publish a draft",
        responses=documented(*WITH_BODY, *HELD, "stale-head"),
        response_headers=[LOCATION, ETAG],
    )
    async def publish(
        self, data: JSONBody[Publication], bench: AtBench, draft_id: DraftPath, if_match: IfMatch = None
    ) -> Response[PublishedDraft]:
        """Makes a draft a pattern, or the head of the pattern that it was started from.

        Where the pattern's head has moved on since, 412 names it; `over` says that it was seen.
        """
        made = await drafts.publish(bench, draft_id, lambda now: held_state(if_match, now), data.over)
        told = PublishedDraft(
            pattern=made.pattern,
            revision=made.revision,
            number=made.number,
            faults=shown(made.faults),
            draft=_entry(made.draft),
        )
        headers = {
            "Location": f"/patterns/{made.pattern}/revisions/{made.revision}",
            "ETag": strong_tag(str(made.draft.version)),
        }
        return Response(told, headers=headers)

    @get(
        "/{draft_id:str}/picture",
        operation_id="drawDraft",
        summary="Draw the pieces of a draft",
        responses=documented("faults", "busy", "out-of-time"),
        response_headers=[ETAG],
        opt={"query": {"lit": LIT}, **asks(READ)},
    )
    async def picture(
        self, bench: AtBench, draft_id: DraftPath, lit: Lit = None, if_none_match: IfNoneMatch = None
    ) -> Response[str]:
        """Draws the pieces that can be drawn, at the base size, as SVG; `lit` lights a seam, a piece or an edge."""
        drawn = (await drafts.picture(bench, draft_id, lit)).encode()
        answer: Response[Any] = raw(drawn, SVG)
        return conditional(answer, content_tag(drawn), if_none_match)


def _whole(record: DraftRecord, status: int = 200) -> Response[Any]:
    told = {
        **_entry(record).model_dump(mode="json"),
        "at": record.at,
        "says": record.says,
        "undo": record.undo is not None,
        "redo": record.redo is not None,
        "document": msgspec.Raw(record.document.encode()),
    }
    answer = raw(msgspec.json.encode(told), headers={"ETag": strong_tag(str(record.version))})
    answer.status_code = status
    return answer


def _entry(record: DraftRecord | Entry) -> DraftEntry:
    return DraftEntry(
        id=record.id,
        pattern=record.pattern,
        base=record.base,
        name=record.name,
        version=record.version,
        created_at=record.created_at,
        changed_at=record.changed_at,
    )
