"""A draft as the editor shows it: one section with its tables, what is wrong, and the drawing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from markupsafe import Markup

from api.pages.desk.order_tables import cloth_tables
from api.pages.desk.piece_tables import NEW_OUTLINES, outline_kind, piece_tables
from api.pages.desk.rows import Notes, counts, lit_by, section_of, shown_tables
from api.pages.desk.sections import SECTIONS
from api.pages.desk.size_tables import size_tables
from api.pages.door import Refused

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pages.desk.table import Table
    from api.pages.door import Caller

OPENING: dict[str, Callable[[str, Any], tuple[Table, ...]]] = {"pieces": piece_tables, "sizes": size_tables}
"""Sections whose rows have tables of their own behind their names."""
UNCHECKED: dict[str, Any] = {"sound": False, "faults": [], "remarks": [], "pieces": 0, "seams": 0}


@dataclass(frozen=True)
class View:
    """Where in a draft a person is: its section, the row of it that is opened, and what is lit in the drawing."""

    draft: str
    section: str = "sheet"
    opened: str = ""
    lit: str = ""

    @property
    def address(self) -> str:
        """The address of this view."""
        asked = {name: text for name in ("section", "opened", "lit") if (text := getattr(self, name))}
        return f"/desk/drafts/{self.draft}?{urlencode(asked)}"


def view_of(draft: str, asked: dict[str, str]) -> View:
    """The view that an address or a form asks for; what is not known falls back to the first section."""
    section = asked.get("section", "sheet")
    opened = asked.get("opened", "") if section in OPENING else ""
    return View(draft, section if section in SECTIONS else "sheet", opened, asked.get("lit", ""))


def tables_of(document: Any, view: View) -> tuple[Table, ...]:
    """The tables of a view."""
    if opened := opened_row(document, view):
        return OPENING[view.section](opened, document[view.section][opened])
    return SECTIONS[view.section][1] + (cloth_tables(document) if view.section == "order" else ())


def opened_row(document: Any, view: View) -> str:
    """The name of the row that is opened; empty where none is, or it is not there."""
    rows = document.get(view.section)
    return view.opened if view.section in OPENING and isinstance(rows, dict) and view.opened in rows else ""


async def work(caller: Caller, draft: dict[str, Any], view: View) -> dict[str, Any]:
    """What the template of the editor needs."""
    document = draft["document"]
    check, why = await _checked(caller, document)
    notes = Notes.of(check)
    tables = shown_tables(document, tables_of(document, view), notes)
    here = [fault for fault in check["faults"] if section_of(fault["path"]) == view.section]
    opened = opened_row(document, view)
    piece = opened if view.section == "pieces" else ""
    usual = view.lit or (f"piece:{piece}" if piece else "")
    lit = next((lit for fault in here if (lit := lit_by(fault["path"]))), usual)
    return {
        "draft": draft,
        "document": document,
        "view": view,
        "sections": {name: title for name, (title, _) in SECTIONS.items()},
        "counts": counts(document, check),
        "check": check,
        "unchecked": why,
        "faults": [
            {**fault, "section": section_of(fault["path"]), "opened": _opened_by(fault)} for fault in check["faults"]
        ],
        "tables": tables,
        "opened": opened,
        "outline": outline_kind(document["pieces"][piece]) if piece else "",
        "outlines": tuple(NEW_OUTLINES),
        "drawing": await drawing(caller, draft["id"], lit),
        "lit": lit,
        "choice": None,
        "refused": None,
    }


async def drawing(caller: Caller, draft: str, lit: str) -> Markup:
    """The picture of the pieces, drawn by the interface; with nothing lit where the name is none."""
    address = f"/drafts/{draft}/picture"
    try:
        drawn = await caller.get(address, query={"lit": lit} if lit else {})
    except Refused:
        try:
            drawn = await caller.get(address)
        except Refused:
            return Markup("<p>The drawing is not at hand just now.</p>")
    # Made by the interface, which escapes what it writes into pictures.
    return Markup(drawn.text)  # noqa: S704


async def _checked(caller: Caller, document: Any) -> tuple[dict[str, Any], str]:
    """The check of a document; where none could be made, why."""
    try:
        found = await caller.post("/checks", {"document": document})
    except Refused as refused:
        if refused.status in (401, 403):
            raise
        return UNCHECKED, str(refused.problem.get("detail", "It was not checked."))
    return dict(found.json), ""


def _opened_by(fault: dict[str, str]) -> str:
    """The row behind whose name a fault's field stands."""
    keys = fault["path"].split(".")
    inside = {"pieces": keys[2:] != ["uses"], "sizes": keys[2:3] in (["hold"], ["within"])}
    return keys[1] if len(keys) > 1 and inside.get(keys[0]) else ""


async def read_draft(caller: Caller, draft: str) -> dict[str, Any]:
    """A draft as the interface has it now."""
    return dict((await caller.get(f"/drafts/{draft}")).json)
