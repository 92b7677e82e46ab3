"""Which form is asked for: by the token of an order form, or by a pattern's id and the key of who is signed in."""

from __future__ import annotations

import re
import time
from dataclasses import dataclass
from typing import Any

from litestar import Request
from litestar.datastructures import State

from api.pages.caller import caller_of
from api.pages.door import Caller, Refused

TOKEN = re.compile(r"swf_[0-9a-f]{16}_[A-Za-z0-9_-]{43}", re.ASCII)
PATTERN = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.ASCII)
KEPT_SECONDS, MOST_KEPT = 30.0, 256


@dataclass(frozen=True)
class Opened:
    """A form: the address of its page, the door with its token, its pattern, who may frame it, what is offered."""

    address: str
    caller: Caller
    origins: tuple[str, ...]
    form: dict[str, Any]

    @property
    def pattern(self) -> str:
        """The pattern's id."""
        return str(self.form["id"])

    @property
    def framed_by(self) -> str:
        """The origins whose pages may show the form in a frame, as a policy lists them."""
        return " ".join(self.origins) or "'none'"


class Shelf:
    """Forms that were read a moment ago, so that each change of a customer's costs its token few requests.

    What a token may do is looked at by the interface each time that a price or a picture is asked for.
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[str, str | None], tuple[float, Opened]] = {}

    def get(self, name: str, key: str | None) -> Opened | None:
        """The form, if it was read within the last seconds."""
        until, opened = self._kept.get((name, key), (0.0, None))
        return opened if time.monotonic() < until else None

    def keep(self, name: str, key: str | None, opened: Opened) -> None:
        """Keeps a form for some seconds."""
        if len(self._kept) >= MOST_KEPT:
            self._kept.clear()
        self._kept[name, key] = (time.monotonic() + KEPT_SECONDS, opened)

    def forget(self, opened: Opened) -> None:
        """Reads the form anew next time: the pattern has moved on, or the form was closed."""
        self._kept = {name: kept for name, kept in self._kept.items() if kept[1].address != opened.address}


SHELF = Shelf()


async def opened_form(request: Request[Any, Any, State], name: str) -> Opened:
    """The form of an address. Raises Refused where there is none, or none any more."""
    caller = caller_of(request, request.app.state)
    by_token = TOKEN.fullmatch(name) is not None
    if by_token:
        caller = Caller(caller.door, name)
    elif PATTERN.fullmatch(name) is None:
        raise Refused(404, {"title": "There is no such form"})
    kept = SHELF.get(name, caller.key)
    if kept is not None:
        return kept
    origins: tuple[str, ...] = ()
    pattern = name
    if by_token:
        bound = (await caller.get("/caller")).json["form"]
        pattern, origins = bound["pattern"], tuple(bound["origins"])
    form = (await caller.get(f"/patterns/{pattern}/form")).json
    opened = Opened(f"/form/{name}", caller, origins, form)
    SHELF.keep(name, caller.key, opened)
    return opened
