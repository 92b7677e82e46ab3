"""Parameters in an address that are not known, given twice, or not as they should be are refused, not guessed at."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from api.operations.errors import Fault, RequestRefused
from api.schemas.base import HASH_PATTERN, LIT_PATTERN, NAME_PATTERN, OPTIONS_PATTERN, STATE_PATTERN, UUID_PATTERN

if TYPE_CHECKING:
    from collections.abc import Mapping

    from litestar import Request

SHOWN = 60


@dataclass(frozen=True)
class Parameter:
    """What may stand for a parameter of an address, and what is said where something else does."""

    pattern: str
    problem: str
    remedy: str
    required: bool = False


WHOLE = Parameter(r"[0-9]{1,9}", "This is no whole number.", "Write a whole number in digits.")
REVISION = Parameter(
    HASH_PATTERN, "This is no id of a revision.", "Write the id of a revision: 64 hexadecimal digits.", required=True
)
LAYOUTS = Parameter(HASH_PATTERN, "This is no id of layouts.", "Write the id of layouts: 64 hexadecimal digits.")
CLOTH = Parameter(NAME_PATTERN, "This is no name of a cloth.", "Write the name that the pattern gives it, as in main.")
LIT = Parameter(
    LIT_PATTERN, "This names nothing that can be lit.", "Write it as in seam:side, piece:panel or edge:panel.top."
)
AFTER = Parameter(UUID_PATTERN, "This is no id of an order.", "Write what `next` of the part before says.")
STATE = Parameter(
    STATE_PATTERN,
    "This is no state of an order.",
    "Write placed, accepted, cutting, sewing, ready, sent or cancelled.",
)
OPTIONS = Parameter(
    OPTIONS_PATTERN, "These are no options with their choices.", "Write them as in front:none,closure:zip."
)


async def refuse_odd_query(request: Request[Any, Any, Any]) -> None:
    """Raises RequestRefused unless each parameter is one of the handler's option `query`, once, and as it should be.

    That option has a Parameter for each name.
    """
    known: Mapping[str, Parameter] = request.route_handler.opt.get("query", {})
    given: dict[str, list[str]] = {}
    for name, value in request.query_params.multi_items():
        given.setdefault(name, []).append(value)
    faults = [fault for name, values in given.items() for fault in _faults(name, values, known)]
    faults += [
        Fault(f"query.{name}", "This parameter is missing.", parameter.remedy)
        for name, parameter in known.items()
        if parameter.required and name not in given
    ]
    if faults:
        raise RequestRefused(faults)


def _faults(name: str, values: list[str], known: Mapping[str, Parameter]) -> list[Fault]:
    path = f"query.{name[:SHOWN].replace(chr(0), chr(0xFFFD)).encode('utf-8', 'replace').decode()}"
    if name not in known:
        remedy = f"Leave it out; known here: {', '.join(sorted(known))}." if known else "Leave it out."
        return [Fault(path, "No such parameter is known here.", remedy)]
    if len(values) > 1:
        return [Fault(path, "This parameter is given more than once.", "Give it once.")]
    parameter = known[name]
    # A dollar alone would let a line end through.
    if not re.fullmatch(parameter.pattern, values[0], re.ASCII) or "\n" in values[0]:
        return [Fault(path, parameter.problem, parameter.remedy)]
    return []
