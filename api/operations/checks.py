"""Checking drafts without storing them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from api.operations.errors import DocumentRefused, Fault
from api.operations.solving import solved

if TYPE_CHECKING:
    from api.operations.bench import Bench


@dataclass(frozen=True)
class Checked:
    """What is wrong with a draft, what is worth a look, and how much a sound one holds."""

    faults: tuple[Fault, ...]
    remarks: tuple[Fault, ...] = ()
    gradable: bool = False
    name: str = ""
    pieces: int = 0
    seams: int = 0
    relations: int = 0
    claims: int = 0


async def check(bench: Bench, document: str) -> Checked:
    """All faults and remarks of a draft, given as `written`; stores nothing."""
    found: dict[str, Any] = await solved(bench, "check", document=document)
    told = {key: tuple(Fault(**fault) for fault in found.get(key, ())) for key in ("faults", "remarks")}
    return Checked(**{**found, **told})


async def gradable(bench: Bench, document: str) -> Checked:
    """What a draft holds that can be graded, and what is left to mend; raises DocumentRefused for any other."""
    checked = await check(bench, document)
    if not checked.gradable:
        raise DocumentRefused(checked.faults)
    return checked
