"""Beginning a draft from a piece list."""

from __future__ import annotations

import base64
from typing import Any

from litestar import Request, Response, get, post
from litestar.datastructures import State, UploadFile
from litestar.response import Redirect

from api.pages.caller import AtDoor
from api.pages.door import Refused
from api.pages.rendering import page

Asked = Request[Any, Any, State]
WORKBOOK = b"PK\x03\x04"
"""How a workbook begins, as every ZIP file does."""
UNITS = ("mm", "cm", "in")


@get("/desk/import")
async def piece_list() -> Response[str]:
    """Asks for a piece list, as a file or as text."""
    return page("import.html", form={}, units=UNITS, problem=None)


@post("/desk/import", status_code=200)
async def taken(request: Asked, caller: AtDoor) -> Response[Any]:
    """A draft of a piece list; what cannot be read is told cell by cell."""
    form = await request.form()
    sent = {name: value for name, value in form.multi_items() if isinstance(value, str)}
    file = form.get("file")
    content = await file.read() if isinstance(file, UploadFile) else b""
    asked: dict[str, Any] = {"name": sent.get("name", "").strip(), "unit": sent.get("unit", "mm")}
    if content.startswith(WORKBOOK):
        asked["xlsx"] = base64.b64encode(content).decode()
    else:
        asked["csv"] = _text(content) or sent.get("table", "")
    try:
        made = await caller.post("/drafts", {"list": asked})
    except Refused as refused:
        if refused.status in (401, 403):
            raise
        return page("import.html", status=refused.status, form=sent, units=UNITS, problem=refused.problem)
    return Redirect(f"/desk/drafts/{made.json['id']}?section=pieces", status_code=303)


def _text(content: bytes) -> str:
    """The text of a table as spreadsheets save it: in UTF-8, else in the old code page of Western Europe."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


HANDLERS = (piece_list, taken)
