"""Pictures of what a grade makes: the finished bag, and both sides of a seam."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from api.operations.errors import Fault, Missing, RequestRefused
from api.operations.grades import read
from api.operations.patterns import revision
from api.operations.solving import solved

if TYPE_CHECKING:
    from collections.abc import Mapping

    from api.access.caller import Caller
    from api.operations.bench import Bench


@dataclass(frozen=True)
class Look:
    """How a bag is to be drawn: beside what, in which unit (the ruler's if None), of which of the offered cloths."""

    beside: str = "a4"
    unit: str | None = None
    cloths: Mapping[str, str] = field(default_factory=dict)


async def bag(bench: Bench, caller: Caller, grade: str, look: Look) -> str:
    """The finished bag as SVG; raises Missing, RequestRefused and TooMuchWork."""
    found = await read(bench, grade)
    if not caller.may_see(found.pattern):
        raise Missing("grade", grade)
    source = await revision(bench, found.pattern, found.revision)
    colours = _colours(json.loads(source.document), look.cloths)
    drawn = {"document": source.document, "grade": found.document}
    return str(await solved(bench, "bag", **drawn, beside=look.beside, unit=look.unit, colours=colours))


async def seam(bench: Bench, grade: str, name: str) -> str:
    """Both sides of a seam as SVG; raises Missing and TooMuchWork."""
    found = await read(bench, grade)
    if name not in json.loads(found.document)["seams"]:
        raise Missing("seam", name)
    source = await revision(bench, found.pattern, found.revision)
    return str(await solved(bench, "seam", document=source.document, grade=found.document, seam=name))


def _colours(document: Mapping[str, Any], chosen: Mapping[str, str]) -> dict[str, str]:
    """The ground colour of each role's cloth: of the one chosen, else of the usual one; raises RequestRefused."""
    offered: Mapping[str, list[dict[str, Any]]] = document.get("order", {}).get("cloths", {})
    faults = [
        Fault("query.cloths", f"No cloth {name} is offered for {role}.", _remedy(offered, role))
        for role, name in chosen.items()
        if name not in {cloth["name"] for cloth in offered.get(role, ())}
    ]
    if faults:
        raise RequestRefused(faults)
    taken = {
        role: next(cloth for cloth in cloths if cloth["name"] == chosen.get(role, cloths[0]["name"]))
        for role, cloths in offered.items()
    }
    return {role: cloth["colours"][0] for role, cloth in taken.items() if cloth.get("colours")}


def _remedy(offered: Mapping[str, list[dict[str, Any]]], role: str) -> str:
    if role in offered:
        return f"Take one of {', '.join(cloth['name'] for cloth in offered[role])}."
    return f"Cloths can be chosen for {', '.join(offered)}." if offered else "Leave it out: no cloths are offered."
