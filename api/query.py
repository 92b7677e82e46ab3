"""Parameters in an address that are not known, given twice, or no numbers are refused rather than guessed at."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from api.operations.errors import Fault, RequestRefused
from api.schemas.base import HASH_PATTERN

if TYPE_CHECKING:
    from litestar import Request

WHOLE = re.compile(r"[0-9]{1,9}", re.ASCII)
ID = re.compile(HASH_PATTERN, re.ASCII)
REVISION = "Write the id of a revision: 64 hexadecimal digits."
SHOWN = 60


async def refuse_odd_query(request: Request[Any, Any, Any]) -> None:
    """Raises RequestRefused unless each parameter is one of the handler's option `query`, once, and a whole number.

    Those in its option `query_revisions` must be there, and be ids of revisions.
    """
    known: frozenset[str] = request.route_handler.opt.get("query", frozenset())
    revisions: frozenset[str] = request.route_handler.opt.get("query_revisions", frozenset())
    given: dict[str, list[str]] = {}
    for name, value in request.query_params.multi_items():
        given.setdefault(name, []).append(value)
    faults = [fault for name, values in given.items() for fault in _faults(name, values, known, revisions)]
    faults += [Fault(f"query.{name}", "This parameter is missing.", REVISION) for name in sorted(revisions - {*given})]
    if faults:
        raise RequestRefused(faults)


def _faults(name: str, values: list[str], known: frozenset[str], revisions: frozenset[str]) -> list[Fault]:
    path = f"query.{name[:SHOWN].replace(chr(0), chr(0xFFFD)).encode('utf-8', 'replace').decode()}"
    if name not in known:
        remedy = f"Leave it out; known here: {', '.join(sorted(known))}." if known else "Leave it out."
        return [Fault(path, "No such parameter is known here.", remedy)]
    if len(values) > 1:
        return [Fault(path, "This parameter is given more than once.", "Give it once.")]
    if name in revisions:
        return [] if ID.fullmatch(values[0]) else [Fault(path, "This is no id of a revision.", REVISION)]
    if not WHOLE.fullmatch(values[0]):
        return [Fault(path, "This is no whole number.", "Write a whole number in digits.")]
    return []
