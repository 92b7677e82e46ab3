"""The page of one draft: reading it, and every way of changing it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from uuid import UUID

from litestar import Request, Response, get, post
from litestar.datastructures import State
from litestar.params import FromPath
from litestar.response import Redirect

from api.pages.caller import AtDoor, wants_part
from api.pages.desk.changes import (
    NOTHING,
    Change,
    added_row,
    changed_rows,
    chosen_outline,
    moved_row,
    removed_row,
)
from api.pages.desk.forms import row_path, sent, version_tag
from api.pages.desk.piece_tables import NEW_OUTLINES
from api.pages.desk.renaming import renamed_in, renamed_row
from api.pages.desk.rows import fields_of, row_paths
from api.pages.desk.table import Table, part
from api.pages.desk.work import View, read_draft, tables_of, view_of, work
from api.pages.door import Caller, Refused
from api.pages.rendering import page

if TYPE_CHECKING:
    from collections.abc import Iterator

Asked = Request[Any, Any, State]
HIDDEN = ("version", "section", "opened", "lit")


@get("/desk/drafts/{draft:uuid}")
async def editor(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Response[str]:
    """One section of a draft."""
    view = view_of(str(draft), dict(request.query_params))
    return await _shown(request, caller, await read_draft(caller, view.draft), view)


@post("/desk/drafts/{draft:uuid}/change", status_code=200)
async def change(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Response[Any]:
    """A row set, added, removed, moved or renamed, or an outline chosen."""
    form = await sent(request)
    view = view_of(str(draft), form)
    now = await read_draft(caller, view.draft)
    wanted = _wanted(now["document"], view, form)
    if wanted == NOTHING:
        return await _went(request, caller, now, view)
    if wanted.rename is not None:
        return await _carried_out(request, caller, view, form, ("POST", "/rename", dict(wanted.rename)))
    view = _followed(view, form)
    body = {"patch": list(wanted.patch), "says": wanted.says}
    return await _carried_out(request, caller, view, form, ("PATCH", "", body))


@post("/desk/drafts/{draft:uuid}/undo", status_code=200)
async def undo(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Response[Any]:
    """The last change taken back."""
    form = await sent(request)
    return await _carried_out(request, caller, view_of(str(draft), form), form, ("POST", "/undo", None))


@post("/desk/drafts/{draft:uuid}/redo", status_code=200)
async def redo(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Response[Any]:
    """A change made again."""
    form = await sent(request)
    return await _carried_out(request, caller, view_of(str(draft), form), form, ("POST", "/redo", None))


@post("/desk/drafts/{draft:uuid}/document", status_code=200)
async def replace_document(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Response[Any]:
    """The whole document as JSON, for those who wish it; what cannot be read stays in its field."""
    form = await sent(request)
    view = view_of(str(draft), form)
    try:
        document = json.loads(form.get("document", ""))
    except ValueError as error:
        problem = {"title": "This is no JSON", "detail": f"Reading stopped at {error}. Nothing was changed."}
        now = await read_draft(caller, view.draft)
        return page("draft_json.html", status=422, draft=now, text=form.get("document", ""), problem=problem)
    body = {"patch": [{"op": "replace", "path": "", "value": document}], "says": "the document as JSON"}
    return await _carried_out(request, caller, view, form, ("PATCH", "", body))


@get("/desk/drafts/{draft:uuid}/document")
async def document(caller: AtDoor, draft: FromPath[UUID]) -> Response[str]:
    """The document as JSON, to be read or changed as a whole."""
    now = await read_draft(caller, str(draft))
    text = json.dumps(now["document"], ensure_ascii=False, indent=2)
    return page("draft_json.html", draft=now, text=text, problem=None)


@get("/desk/drafts/{draft:uuid}/history")
async def history(caller: AtDoor, draft: FromPath[UUID]) -> Response[str]:
    """Every state that a draft has been in."""
    now = await read_draft(caller, str(draft))
    states = (await caller.get(f"/drafts/{draft}/states", query={"limit": "100"})).json
    return page("history.html", draft=now, states=states)


async def _carried_out(
    request: Asked, caller: Caller, view: View, form: dict[str, str], asked: tuple[str, str, Any]
) -> Response[Any]:
    """The view after a change; where somebody else was faster, a choice; where it was refused, why."""
    method, way, body = asked
    path, match = f"/drafts/{view.draft}{way}", version_tag(form)
    try:
        made = await (
            caller.patch(path, body, match=match) if method == "PATCH" else caller.post(path, body, match=match)
        )
    except Refused as refused:
        now = await read_draft(caller, view.draft)
        if refused.status == 412:
            return await _shown(request, caller, now, view, 412, choice=_choice(now, view, form, refused))
        if refused.status == 401:
            raise
        return await _shown(request, caller, now, view, refused.status, refused=refused.problem)
    return await _went(request, caller, dict(made.json), view)


async def _went(request: Asked, caller: Caller, draft: dict[str, Any], view: View) -> Response[Any]:
    if wants_part(request):
        return await _shown(request, caller, draft, view)
    return Redirect(view.address, status_code=303)


async def _shown(
    request: Asked, caller: Caller, draft: dict[str, Any], view: View, status: int = 200, **more: Any
) -> Response[str]:
    content = {**await work(caller, draft, view), **more}
    template = "work.html" if wants_part(request) else "editor.html"
    headers = {"HX-Replace-Url": view.address} if wants_part(request) and request.method == "POST" else {}
    return page(template, status=status, headers=headers, **content)


def _wanted(document: Any, view: View, form: dict[str, str]) -> Change:
    """What a form asks for, as operations on the document as it is now."""
    do, _, named = form.get("do", "set").partition(" ")
    if do == "outline":
        kind = form.get("kind", "")
        return chosen_outline(document, view.opened, kind) if view.opened and kind in NEW_OUTLINES else NOTHING
    table = _table(document, view, form.get("table", ""))
    if table is None:
        return NOTHING
    if do == "add":
        return added_row(document, table, form.get("name", ""))
    if do == "set":
        renaming = renamed_in(document, table, form)
        return changed_rows(document, table, form) if renaming is NOTHING else renaming
    row = row_path(named or form.get("row", ""))
    if row not in tuple(row_paths(document, table)) or table.form in ("fixed", "one"):
        return NOTHING
    match do:
        case "remove":
            return removed_row(document, table, row)
        case "up" | "down":
            return moved_row(document, table, row, -1 if do == "up" else 1)
        case "rename" if table.form == "names" and table.renames:
            return renamed_row(table, row, form.get("name", "").strip())
    return NOTHING


def _table(document: Any, view: View, name: str) -> Table | None:
    return next((table for table in tables_of(document, view) if table.name == name), None)


def _followed(view: View, form: dict[str, str]) -> View:
    """The view after a change: a seam or covering that was changed is lit."""
    kind = {"seams": "seam", "coverings": "covering"}.get(form.get("table", ""))
    rows = [name.split(":")[1].rpartition(".")[2] for name in form if name.startswith("f:")]
    if kind is None or not rows:
        return view
    return View(view.draft, view.section, view.opened, f"{kind}:{rows[0]}")


def _choice(now: dict[str, Any], view: View, form: dict[str, str], refused: Refused) -> dict[str, Any]:
    """What a person has to choose from: the own fields beside what the document has there now."""
    table = _table(now["document"], view, form.get("table", ""))
    lines = [] if table is None else list(_beside(now["document"], table, form))
    return {
        "says": refused.problem.get("detail", ""),
        "lines": lines,
        "fields": {name: text for name, text in form.items() if name not in HIDDEN},
        "way": "change" if form.get("table") or form.get("do") else "",
    }


def _beside(document: Any, table: Table, form: dict[str, str]) -> Iterator[dict[str, str]]:
    for row in row_paths(document, table):
        joined = ".".join(map(str, row))
        for field in fields_of(document, table):
            mine = form.get(f"f:{joined}:{field.key}", "").strip()
            theirs = field.notation.text(part(document, (*row, *field.path)))
            if f"f:{joined}:{field.key}" in form and mine != theirs.strip():
                yield {"row": str(row[-1]) if row else "", "label": field.label, "mine": mine, "theirs": theirs}


HANDLERS = (editor, change, undo, redo, replace_document, document, history)
