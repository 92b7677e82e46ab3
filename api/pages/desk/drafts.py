"""Beginning drafts, publishing them, and taking them away."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from litestar import Request, Response, post
from litestar.datastructures import State
from litestar.params import FromPath
from litestar.response import Redirect

from api.pages.caller import AtDoor
from api.pages.desk.forms import sent, version_tag
from api.pages.desk.starters import SYSTEMS, empty_draft
from api.pages.desk.work import read_draft, view_of, work
from api.pages.door import Refused
from api.pages.rendering import page

Asked = Request[Any, Any, State]


@post("/desk/drafts", status_code=303)
async def start(request: Asked, caller: AtDoor) -> Redirect:
    """A new draft: from the head of a pattern, or with a name alone."""
    form = await sent(request)
    system = form.get("system", "")
    body = (
        {"pattern": form["pattern"]}
        if form.get("pattern")
        else {"document": empty_draft(form.get("name", "").strip(), system if system in SYSTEMS else "metric")}
    )
    made = await caller.post("/drafts", body)
    return Redirect(f"/desk/drafts/{made.json['id']}", status_code=303)


@post("/desk/drafts/{draft:uuid}/publish", status_code=200)
async def publish(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Response[Any]:
    """The draft as a pattern, or as the next revision of its own; where that has moved on, a choice."""
    form = await sent(request)
    over = {"over": form["over"]} if form.get("over") else {}
    try:
        made = (await caller.post(f"/drafts/{draft}/publish", over, match=version_tag(form))).json
    except Refused as refused:
        if refused.status in (401, 403):
            raise
        now = await read_draft(caller, str(draft))
        if refused.status == 412 and refused.problem.get("head"):
            return page("moved_on.html", status=412, draft=now, head=refused.problem["head"])
        content = await work(caller, now, view_of(str(draft), form))
        return page("editor.html", status=refused.status, **{**content, "refused": refused.problem})
    return Redirect(f"/desk/patterns/{made['pattern']}/revisions/{made['revision']}", status_code=303)


@post("/desk/drafts/{draft:uuid}/remove", status_code=303)
async def remove(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Redirect:
    """The draft taken away; what was published of it stays."""
    await caller.delete(f"/drafts/{draft}", match=version_tag(await sent(request)))
    return Redirect("/desk", status_code=303)


HANDLERS = (start, publish, remove)
