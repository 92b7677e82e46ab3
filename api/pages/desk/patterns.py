"""The desk with its patterns and drafts; a pattern with its revisions; a revision with its sizes and testers."""

from __future__ import annotations

import asyncio
import json
import re
from typing import Any
from uuid import UUID

from litestar import Request, Response, get, post
from litestar.datastructures import State
from litestar.params import FromPath
from litestar.response import Redirect

from api.pages.caller import AtDoor
from api.pages.desk.charts import chart_rows
from api.pages.desk.forms import asked, sent
from api.pages.desk.notation import PAIRS
from api.pages.door import Caller, Refused
from api.pages.rendering import page

Asked = Request[Any, Any, State]
MANY = {"limit": "100"}
PER_PAGE = 50


@get("/desk")
async def desk(request: Asked, caller: AtDoor) -> Response[str]:
    """Everything that lies on the desk."""
    patterns, drafts = await asyncio.gather(_listed(request, caller, "patterns"), _listed(request, caller, "drafts"))
    return page("desk.html", patterns=patterns, drafts=drafts, per_page=PER_PAGE)


@get("/desk/patterns/{pattern:uuid}")
async def pattern(caller: AtDoor, pattern: FromPath[UUID]) -> Response[str]:
    """A pattern and its revisions."""
    found, revisions = await asyncio.gather(
        caller.get(f"/patterns/{pattern}"), caller.get(f"/patterns/{pattern}/revisions", query=MANY)
    )
    return page("pattern.html", pattern=found.json, revisions=revisions.json)


@get("/desk/patterns/{pattern:uuid}/revisions/{revision:str}")
async def revision(caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[str]:
    """A revision: its sizes side by side, and what its testers say."""
    return await _revision(caller, str(pattern), revision)


@get("/desk/patterns/{pattern:uuid}/revisions/{revision:str}/document")
async def export(caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[bytes]:
    """The document of a revision as a file."""
    found = (await caller.get(f"/patterns/{pattern}/revisions/{revision}")).json["document"]
    name = re.sub(r"[^a-z0-9]+", "_", str(found.get("name", "pattern")).lower()).strip("_") or "pattern"
    text = json.dumps(found, ensure_ascii=False, indent=2) + "\n"
    headers = {"Content-Disposition": f'attachment; filename="{name}.json"'}
    return Response(text.encode(), media_type="application/json", headers=headers)


@get("/desk/patterns/{pattern:uuid}/revisions/{revision:str}/difference")
async def difference(request: Asked, caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[str]:
    """What changes from another revision to this one, size by size."""
    older = asked(request, "from")
    found, revisions = await asyncio.gather(
        caller.get(f"/patterns/{pattern}/revisions/{revision}/difference", query={"from": older}),
        caller.get(f"/patterns/{pattern}/revisions", query=MANY),
    )
    numbers = {each["id"]: each["number"] for each in revisions.json["items"]}
    return page(
        "difference.html",
        pattern=str(pattern),
        revision=revision,
        numbers=(numbers.get(older, "?"), numbers.get(revision, "?")),
        difference=found.json,
    )


@post("/desk/patterns/{pattern:uuid}/revisions/{revision:str}/records", status_code=303)
async def record(request: Asked, caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[Any]:
    """A tester's record sent in."""
    form = await sent(request)
    try:
        await caller.post(f"/patterns/{pattern}/revisions/{revision}/records", _record(form))
    except Refused as refused:
        if refused.status in (401, 403):
            raise
        return await _revision(caller, str(pattern), revision, refused, form)
    return Redirect(f"/desk/patterns/{pattern}/revisions/{revision}#testers", status_code=303)


async def _revision(
    caller: Caller, pattern: str, revision: str, refused: Refused | None = None, form: dict[str, str] | None = None
) -> Response[str]:
    here = f"/patterns/{pattern}/revisions/{revision}"
    found, chart, records, revisions = await asyncio.gather(
        caller.get(here),
        caller.get(f"{here}/chart"),
        caller.get(f"{here}/records", query=MANY),
        caller.get(f"/patterns/{pattern}/revisions", query=MANY),
    )
    others = [each for each in revisions.json["items"] if each["id"] != revision]
    return page(
        "revision.html",
        status=200 if refused is None else refused.status,
        revision=found.json,
        document=found.json["document"],
        chart=chart.json,
        rows=chart_rows(chart.json),
        records=records.json,
        others=others,
        form=form or {},
        problem=None if refused is None else refused.problem,
    )


async def _listed(request: Asked, caller: Caller, kind: str) -> dict[str, Any]:
    start = asked(request, kind, "0")
    offset = int(start) if start.isdecimal() and len(start) < 7 else 0
    try:
        found = await caller.get(f"/{kind}", query={"limit": str(PER_PAGE), "offset": str(offset)})
    except Refused as refused:
        # A key that may not see drafts has a desk without them.
        if refused.status != 403:
            raise
        return {"items": [], "total": 0, "offset": 0}
    return {**found.json, "offset": offset}


def _record(form: dict[str, str]) -> dict[str, Any]:
    measures = PAIRS.value(form.get("measures", ""))
    remarks = [_remark(line.strip()) for line in form.get("remarks", "").splitlines() if line.strip()]
    minutes = form.get("minutes", "").strip()
    told: dict[str, Any] = {"size": form.get("size", ""), "cloth": form.get("cloth", "").strip(), "remarks": remarks}
    if isinstance(measures, dict):
        told["measures"] = {name: str(text) for name, text in measures.items()}
    elif isinstance(measures, str):
        told["measures"] = {"measures": measures}
    if minutes:
        told["minutes"] = int(minutes) if minutes.isdecimal() and len(minutes) < 10 else minutes
    return told


def _remark(line: str) -> dict[str, Any]:
    """`3: clip the corner first` is a remark on step 3; without a number it is one on the whole."""
    step, sign, text = line.partition(":")
    if sign and step.strip().isdecimal() and len(step) < 6 and text.strip():
        return {"step": int(step), "says": text.strip()}
    return {"says": line}


HANDLERS = (desk, pattern, revision, export, difference, record)
