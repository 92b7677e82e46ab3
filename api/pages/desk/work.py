"""A draft as the editor shows it: one section with its tables, what is wrong, and the drawing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from markupsafe import Markup

from api.pages.desk.piece_tables import NEW_OUTLINES, outline_kind, piece_tables
from api.pages.desk.rows import Notes, counts, lit_by, section_of, shown_tables
from api.pages.desk.sections import SECTIONS
from api.pages.door import Refused

if TYPE_CHECKING:
    from api.pages.desk.table import Table
    from api.pages.door import Caller

UNCHECKED: dict[str, Any] = {"sound": False, "faults": [], "remarks": [], "pieces": 0, "seams": 0}


@dataclass(frozen=True)
class View:
    """Where in a draft a person is: its section, in it a piece, and what is lit in the drawing."""

    draft: str
    section: str = "sheet"
    piece: str = ""
    lit: str = ""

    @property
    def address(self) -> str:
        """The address of this view."""
        asked = {name: text for name in ("section", "piece", "lit") if (text := getattr(self, name))}
        return f"/desk/drafts/{self.draft}?{urlencode(asked)}"


def view_of(draft: str, asked: dict[str, str]) -> View:
    """The view that an address or a form asks for; what is not known falls back to the first section."""
    section = asked.get("section", "sheet")
    piece = asked.get("piece", "") if section == "pieces" else ""
    return View(draft, section if section in SECTIONS else "sheet", piece, asked.get("lit", ""))


def tables_of(document: Any, view: View) -> tuple[Table, ...]:
    """The tables of a view."""
    pieces = document.get("pieces")
    if view.piece and isinstance(pieces, dict) and view.piece in pieces:
        return piece_tables(view.piece, pieces[view.piece])
    return SECTIONS[view.section][1]


async def work(caller: Caller, draft: dict[str, Any], view: View) -> dict[str, Any]:
    """What the template of the editor needs."""
    document = draft["document"]
    check, why = await _checked(caller, document)
    notes = Notes.of(check)
    tables = shown_tables(document, tables_of(document, view), notes)
    here = [fault for fault in check["faults"] if section_of(fault["path"]) == view.section]
    pieces = document.get("pieces")
    piece = view.piece if isinstance(pieces, dict) and view.piece in pieces else ""
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
            {**fault, "section": section_of(fault["path"]), "piece": _piece_of(fault)} for fault in check["faults"]
        ],
        "tables": tables,
        "piece": piece,
        "outline": outline_kind(pieces[piece]) if piece else "",
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


def _piece_of(fault: dict[str, str]) -> str:
    keys = fault["path"].split(".")
    return keys[1] if keys[0] == "pieces" and len(keys) > 1 else ""


async def read_draft(caller: Caller, draft: str) -> dict[str, Any]:
    """A draft as the interface has it now."""
    return dict((await caller.get(f"/drafts/{draft}")).json)
