"""Another cloth for a role, and a role more."""

from __future__ import annotations

from copy import deepcopy

from grading.substitute.apart import refuse
from grading.substitute.changes import AddChange, ClothChange
from grading.substitute.layers import Json, check_role


def change_cloth(document: Json, change: ClothChange, written: Json) -> str:
    """Let another cloth play a role, in place. `written` is the change as plain data. Raises Refused."""
    check_role(document, change.cloth, "cloth")
    before = document["materials"][change.cloth].get("says", "")
    document["materials"][change.cloth] = deepcopy(written["with"])
    after = change.with_.says or "another cloth"
    return f"{change.cloth} is {after}" + (f" in place of {before}" if before and before != after else "")


def add_role(document: Json, change: AddChange, written: Json) -> str:
    """Add a role to the materials, in place. Raises Refused."""
    if change.add in document["materials"]:
        raise refuse(
            "add", f"a material is named {change.add!r} already", 'give it another cloth with "cloth", or another name'
        )
    document["materials"][change.add] = deepcopy(written["material"])
    return f"{change.add} is new" + (f": {change.material.says}" if change.material.says else "")
