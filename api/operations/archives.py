"""Names by content in archives: what is brought in keeps its name only if that is the name of its content."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from api.operations.identity import grade_name, layouts_name, revision_name

MADE_FROM: dict[str, tuple[Callable[..., str], tuple[str, ...]]] = {
    "revisions": (revision_name, ("workshop_id", "pattern_id", "document")),
    "grades": (grade_name, ("workshop_id", "revision_id", "engine", "request")),
    "layouts": (layouts_name, ("workshop_id", "grade_id", "document")),
}
"""How the rows of a table are named, and from which of their columns."""


def name_fault(table: str, values: dict[str, Any]) -> str | None:
    """What is wrong with the name of a row; None for a right one, and where names are not made from the content."""
    if table not in MADE_FROM:
        return None
    named, columns = MADE_FROM[table]
    name = named(*(values[column] for column in columns))
    return None if name == values["id"] else f"it is named {values['id']}, and its content has the name {name}"
