"""A size that was made: its cut list, its layouts and what to buy, and its papers."""

from __future__ import annotations

import asyncio
from typing import Any
from uuid import UUID

from litestar import Request, Response, get, post
from litestar.datastructures import State
from litestar.params import FromPath
from litestar.response import Redirect
from markupsafe import Markup

from api.pages.caller import AtDoor, wants_part
from api.pages.desk.forms import asked, sent
from api.pages.door import Caller, Refused
from api.pages.rendering import page

Asked = Request[Any, Any, State]
PAPERS = {
    "sheets": ("/grades/{grade}/sheets", "application/pdf"),
    "drawing": ("/grades/{grade}/sheets", "image/svg+xml"),
    "exchange": ("/grades/{grade}/sheets", "image/vnd.dxf"),
    "booklet": ("/grades/{grade}/booklet", "application/pdf"),
    "cut-list": ("/grades/{grade}/cut-list", "text/csv"),
    "supplies": ("/grades/{grade}/supplies", "text/csv"),
    "document": ("/grades/{grade}", "application/json"),
    "proof": ("/grades/{grade}/proof", "application/json"),
}
"""What may be fetched of a grade: where the interface has it, and in which format."""
STYLES = ("scissors", "rotary", "folded")


@post("/desk/patterns/{pattern:uuid}/revisions/{revision:str}/grades", status_code=303)
async def make(request: Asked, caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Redirect:
    """A named size made."""
    form = await sent(request)
    made = await caller.post(f"/patterns/{pattern}/revisions/{revision}/grades", {"size": form.get("size", "base")})
    return Redirect(f"/desk/grades/{made.json['id']}", status_code=303)


@get("/desk/grades/{grade:str}")
async def grade(caller: AtDoor, grade: FromPath[str]) -> Response[str]:
    """The cut list of a size, its steps, and what it needs."""
    found, supplies = await asyncio.gather(caller.get(f"/grades/{grade}"), caller.get(f"/grades/{grade}/supplies"))
    return page("grade.html", id=grade, grade=found.json, supplies=supplies.json, styles=STYLES, papers=tuple(PAPERS))


@get("/desk/grades/{grade:str}/papers/{paper:str}")
async def paper(caller: AtDoor, grade: FromPath[str], paper: FromPath[str]) -> Response[bytes]:
    """A paper of a size, as the interface gives it."""
    if paper not in PAPERS:
        raise Refused(404, {"title": "Nothing is here", "detail": f"The papers are {', '.join(PAPERS)}."})
    path, media_type = PAPERS[paper]
    found = await caller.get(path.format(grade=grade), accept=media_type)
    kept = {name: found.headers[name] for name in ("content-disposition",) if name in found.headers}
    return Response(found.content, media_type=media_type, headers={**kept, "Cache-Control": "private, no-cache"})


@post("/desk/grades/{grade:str}/layouts", status_code=303)
async def lay_out(request: Asked, caller: AtDoor, grade: FromPath[str]) -> Response[Any]:
    """The size laid on every cloth; what takes long is waited for on a page of its own."""
    form = await sent(request)
    settings = {name: text for name in ("style", "gap", "spare") if (text := form.get(name, "").strip())}
    made = await caller.post(f"/grades/{grade}/layouts", {"settings": settings}, headers={"Prefer": "wait=10"})
    if made.status == 202:
        return Redirect(f"/desk/jobs/{made.json['id']}", status_code=303)
    return Redirect(f"/desk/layouts/{made.json['id']}?grade={grade}", status_code=303)


@get("/desk/jobs/{job:uuid}")
async def job(request: Asked, caller: AtDoor, job: FromPath[UUID]) -> Response[Any]:
    """How far the work on layouts is; it leads to them once they are done."""
    found = (await caller.get(f"/jobs/{job}")).json
    if found["state"] == "done":
        there = f"/desk/layouts/{found['result']}?grade={found['grade']}"
        if wants_part(request):
            return page("job_state.html", job=found, headers={"HX-Redirect": there})
        return Redirect(there, status_code=303)
    return page("job_state.html" if wants_part(request) else "job.html", job=found)


@get("/desk/layouts/{layouts:str}")
async def layouts(request: Asked, caller: AtDoor, layouts: FromPath[str]) -> Response[str]:
    """Layouts with their pictures, and what to buy."""
    found = (await caller.get(f"/layouts/{layouts}")).json
    grade = asked(request, "grade")
    pictures = await asyncio.gather(*(_picture(caller, layouts, cloth) for cloth in found["cloths"]))
    supplies = None
    if grade:
        supplies = (await caller.get(f"/grades/{grade}/supplies", query={"layouts": layouts})).json
    drawn = dict(zip(found["cloths"], pictures, strict=True))
    return page("layouts.html", layouts=found, grade=grade, pictures=drawn, supplies=supplies)


async def _picture(caller: Caller, layouts: str, cloth: str) -> Markup:
    drawn = await caller.get(f"/layouts/{layouts}", query={"cloth": cloth}, accept="image/svg+xml")
    # Made by the interface, which escapes what it writes into pictures.
    return Markup(drawn.text)  # noqa: S704


HANDLERS = (make, grade, paper, lay_out, job, layouts)
