"""Another cloth, a piece split, a toile: a change tried, its outcome compared, and a draft made of it if wanted."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from litestar import Request, Response, get, post
from litestar.datastructures import State
from litestar.params import FromPath
from litestar.response import Redirect

from api.pages.caller import AtDoor
from api.pages.desk.forms import sent
from api.pages.door import Refused
from api.pages.rendering import page

Asked = Request[Any, Any, State]
FIELDS: dict[str, tuple[str, ...]] = {
    "cloth": ("cloth", "says", "usable_width", "direction"),
    "split": ("split", "at", "from"),
    "hide": ("hide", "material", "margin"),
    "mesh": ("mesh", "material"),
    "toile": ("toile", "usable_width"),
}
"""The fields of each kind of change."""
HERE = "/desk/patterns/{pattern:uuid}/revisions/{revision:str}/substitution"


@get(HERE)
async def substitution(caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[str]:
    """The changes that may be tried."""
    found = (await caller.get(f"/patterns/{pattern}/revisions/{revision}")).json
    return page("substitution.html", revision=found, document=found["document"], form={}, tried=None, problem=None)


@post(HERE, status_code=200)
async def tried(request: Asked, caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[Any]:
    """A change tried: what becomes of every size and of the cloth; or a draft made of it."""
    form = await sent(request)
    here = f"/patterns/{pattern}/revisions/{revision}"
    found = (await caller.get(here)).json
    content = {"revision": found, "document": found["document"], "form": form, "tried": None, "problem": None}
    body = {"changes": wanted(form, found["document"]), "size": form.get("size") or "base"}
    try:
        outcome = (await caller.post(f"{here}/substitutions", body)).json
    except Refused as refused:
        if refused.status in (401, 403):
            raise
        return page("substitution.html", status=refused.status, **{**content, "problem": refused.problem})
    if form.get("do") == "draft":
        made = await caller.post("/drafts", {"document": outcome["document"]})
        return Redirect(f"/desk/drafts/{made.json['id']}", status_code=303)
    return page("substitution.html", **{**content, "tried": outcome})


def wanted(form: dict[str, str], document: dict[str, Any]) -> list[dict[str, Any]]:
    """The changes that a form describes, in the words of the interface; a new cloth of a toile comes first."""
    kind = form.get("kind", "toile")
    given = {name: text for name in FIELDS.get(kind, ()) if (text := form.get(f"{kind}.{name}", "").strip())}
    materials = document.get("materials", {})
    if kind == "cloth":
        role = given.pop("cloth", "")
        return [{"cloth": role, "with": {**_plain(materials.get(role, {})), **given}}]
    if kind != "toile":
        return [given]
    role, width = given.get("toile", ""), given.get("usable_width", "")
    cloth = {"says": f"plain cloth for a toile: {role}", **({"usable_width": width} if width else {})}
    return [*([] if role in materials else [{"add": role, "material": cloth}]), {"toile": role}]


def _plain(material: dict[str, Any]) -> dict[str, Any]:
    """What of a cloth another one in its place has in common with it."""
    return {name: material[name] for name in ("says", "kind", "usable_width", "direction") if name in material}


HANDLERS = (substitution, tried)
