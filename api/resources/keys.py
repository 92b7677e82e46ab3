"""Keys of a workshop."""

from __future__ import annotations

from typing import Annotated

from litestar import Controller, Response, delete, get, post
from litestar.params import JSONBody, PathParameter

from api.access.scopes import KEYS, SIGNED_IN, asks, in_order
from api.access.secrets import NAME_PATTERN
from api.operations import keys
from api.operations.callers import workshop_name
from api.problems import documented
from api.resources.answers import LOCATION
from api.resources.dependencies import AtBench, AtCaller
from api.resources.parameters import Limit, Offset
from api.resources.patterns import PAGED
from api.schemas.keys import CallerForm, CallerTold, CallerWorkshop, Key, KeyList, MadeKey, NewKey, Succession
from api.storage.records import KeyRecord

KeyPath = Annotated[str, PathParameter(pattern=NAME_PATTERN, description="The key's id.")]
WITH_BODY = ("unreadable-body", "body-too-large", "unsupported-body", "faults")


class KeyController(Controller):
    """Keys, which are shown once and kept as a hash."""

    path = "/keys"
    tags = ("Access",)
    opt = asks(KEYS)

    @post(operation_id="makeKey", summary="Make a key", responses=documented(*WITH_BODY), response_headers=[LOCATION])
    async def make(self, data: JSONBody[NewKey], bench: AtBench, caller: AtCaller) -> Response[MadeKey]:
        """Makes a key that may do no more than the key that asks. The answer shows it, this once."""
        wanted = keys.Wanted.for_days(frozenset(data.scopes), data.says, data.days)
        return _shown(await keys.make(bench, caller, wanted))

    @get(operation_id="listKeys", summary="List keys", responses=documented("faults"), opt=PAGED)
    async def list_all(self, bench: AtBench, limit: Limit = 20, offset: Offset = 0) -> KeyList:
        """Lists keys in the order in which they were made, also those that work no more."""
        page = await keys.keys(bench, limit, offset)
        return KeyList(items=[_key(item) for item in page.items], total=page.total)

    @get("/{key_id:str}", operation_id="readKey", summary="Read a key", responses=documented())
    async def read(self, bench: AtBench, key_id: KeyPath) -> Key:
        """Tells what a key may do and until when, without its secret."""
        return _key(await keys.read(bench, key_id))

    @delete("/{key_id:str}", operation_id="revokeKey", summary="Revoke a key", status_code=204, responses=documented())
    async def revoke(self, bench: AtBench, key_id: KeyPath) -> None:
        """Ends a key at once, also the one that asks. One that has been revoked stays as it is."""
        await keys.revoke(bench, key_id)

    @post(
        "/{key_id:str}/successor",
        operation_id="succeedKey",
        summary="Replace a key",
        responses=documented(*WITH_BODY),
        response_headers=[LOCATION],
    )
    async def succeed(
        self, data: JSONBody[Succession], bench: AtBench, caller: AtCaller, key_id: KeyPath
    ) -> Response[MadeKey]:
        """Makes a key with the scopes of another, and as long a life. Both work until the older one ends."""
        return _shown(await keys.succeed(bench, caller, key_id, data.days))


class CallerController(Controller):
    """Who asks."""

    path = "/caller"
    tags = ("Access",)
    opt = asks(SIGNED_IN)

    @get(operation_id="readCaller", summary="Read who asks", responses=documented())
    async def read(self, bench: AtBench, caller: AtCaller) -> CallerTold:
        """Tells whose key it is that was sent and what it may do, or what an order form's token is bound to."""
        if caller.form is not None and caller.pattern is not None:
            form = CallerForm(id=caller.form, pattern=caller.pattern, origins=list(caller.origins))
            return CallerTold(workshop=None, key=None, scopes=sorted(caller.scopes), expires_at=None, form=form)
        return CallerTold(
            workshop=CallerWorkshop(id=caller.workshop, name=await workshop_name(bench)),
            key=caller.name,
            scopes=list(in_order(caller.scopes)),
            expires_at=caller.expires_at,
            form=None,
        )


def _shown(shown: keys.Shown) -> Response[MadeKey]:
    made = MadeKey(**_key(shown.key).model_dump(), key=shown.text)
    return Response(made, headers={"Location": f"/keys/{shown.key.id}"})


def _key(record: KeyRecord) -> Key:
    return Key(
        id=record.id,
        says=record.says,
        scopes=list(in_order(record.scopes)),
        created_at=record.created_at,
        expires_at=record.expires_at,
        revoked_at=record.revoked_at,
        successor=record.successor,
    )
