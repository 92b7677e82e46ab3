"""The tables of one size: what is asked, the box that it must stay within, what it must hold."""

from __future__ import annotations

from typing import Any

from api.pages.desk.notation import LONG, TEXT
from api.pages.desk.sections import SIZES
from api.pages.desk.table import Field, Table

SIDES = ("Wide", "High", "Deep")


def size_tables(name: str, size: Any) -> tuple[Table, ...]:
    """The tables of a size of this name."""
    here = ("sizes", name)
    box = tuple(Field(("box", number), f"{way}, at most") for number, way in enumerate(SIDES))
    within = (
        *box,
        Field(("added",), "Leave for bulk each way"),
        Field(("turned",), "The bag may be turned", TEXT, ("as given", "any")),
        Field(("says",), "What box it is", LONG, size=34),
    )
    held = (
        *(Field(("object", number), way, size=7) for number, way in enumerate(SIDES)),
        Field(("in",), "In", TEXT, size=10, hint="bag"),
        Field(("ease",), "Ease", size=7),
        Field(("stands_out",), "Stands out", size=7),
        Field(("says",), "What it is", LONG, size=24),
    )
    return (
        Table("asked", here, "What is asked", "size", (*SIZES.fields, *SIZES.more), "one"),
        Table("within", (*here, "within"), "The box that it must stay within", "box", within, "one"),
        Table("hold", (*here, "hold"), "What it must hold", "thing", held, "list", {"object": ["", "", ""]}),
    )
