"""From what was presented to who asks."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from api.access.caller import Caller
from api.access.refusals import NoKey
from api.access.scopes import FORM
from api.access.secrets import FORM_SIGN, matches
from api.storage.forms import held_form
from api.storage.keys import held_key
from api.storage.workshops import workshop

if TYPE_CHECKING:
    from sqlalchemy.ext.asyncio import AsyncSession

    from api.access.secrets import Credential
    from api.operations.bench import Bench
    from api.storage.database import Database


async def recognised(database: Database, credential: Credential | None) -> Caller:
    """Who presents this; raises NoKey for what is not known, revoked or expired, all in the same words."""
    if credential is None:
        raise NoKey(presented=True)
    async with database.transaction() as session:
        found = await (_form if credential.kind == FORM_SIGN else _key)(session, credential)
    if found is None:
        raise NoKey(presented=True)
    return found


async def workshop_name(bench: Bench) -> str:
    """What the caller's workshop is called."""
    async with bench.database.transaction() as session:
        found = await workshop(session, bench.workshop)
    return "" if found is None else found.name


async def _key(session: AsyncSession, credential: Credential) -> Caller | None:
    held = await held_key(session, credential.name, datetime.now(UTC))
    if not matches(credential, None if held is None else held.digest) or held is None:
        return None
    key = held.key
    return Caller(key.id, key.workshop, key.scopes, key.expires_at)


async def _form(session: AsyncSession, credential: Credential) -> Caller | None:
    held = await held_form(session, credential.name)
    if not matches(credential, None if held is None else held.digest) or held is None:
        return None
    form = held.form
    return Caller(form.id, held.workshop, frozenset({FORM}), form=form.id, pattern=form.pattern, origins=form.origins)
