"""Trial sizes: a ruled table in which each row is a wish, answered at once with what was given, or why not."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from litestar import Request, Response, get, post
from litestar.datastructures import State
from litestar.params import FromPath

from api.pages.caller import AtDoor, wants_part
from api.pages.desk.forms import sent
from api.pages.desk.notation import PAIRS, WORDS
from api.pages.door import Caller, Refused
from api.pages.rendering import page

Asked = Request[Any, Any, State]
ROWS = 4
ALONE = ("scale", "volume", "ruler")


@get("/desk/patterns/{pattern:uuid}/revisions/{revision:str}/trials")
async def trials(caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[str]:
    """A table with a few empty rows."""
    here = f"/patterns/{pattern}/revisions/{revision}"
    found = (await caller.get(here)).json
    return _page(f"/desk{here}/trials", found, found["document"], _empty(ROWS))


@post("/desk/patterns/{pattern:uuid}/revisions/{revision:str}/trials", status_code=200)
async def trial(request: Asked, caller: AtDoor, pattern: FromPath[UUID], revision: FromPath[str]) -> Response[str]:
    """One row answered; without the page's script, the table with this row."""
    form = await sent(request)
    here = f"/patterns/{pattern}/revisions/{revision}"
    answer = await answered(caller, here, wished(form))
    found = (await caller.get(here)).json
    return _with_row(request, f"/desk{here}/trials", found, found["document"], form, answer)


@get("/desk/drafts/{draft:uuid}/trials")
async def draft_trials(caller: AtDoor, draft: FromPath[UUID]) -> Response[str]:
    """A table with a few empty rows, for a draft as it is now."""
    document = (await caller.get(f"/drafts/{draft}")).json["document"]
    return _page(f"/desk/drafts/{draft}/trials", None, document, _empty(ROWS))


@post("/desk/drafts/{draft:uuid}/trials", status_code=200)
async def draft_trial(request: Asked, caller: AtDoor, draft: FromPath[UUID]) -> Response[str]:
    """One row answered of a draft; nothing of it is kept."""
    form = await sent(request)
    answer = await answered_of_draft(caller, str(draft), wished(form))
    document = (await caller.get(f"/drafts/{draft}")).json["document"]
    return _with_row(request, f"/desk/drafts/{draft}/trials", None, document, form, answer)


def _page(place: str, revision: Any, document: Any, rows: list[dict[str, Any]]) -> Response[str]:
    named = {"name": "without a name", **document}
    return page("trials.html", place=place, revision=revision, document=named, rows=rows)


def _with_row(
    request: Asked, place: str, revision: Any, document: Any, form: dict[str, str], answer: dict[str, Any] | None
) -> Response[str]:
    """The row with its answer; without the page's script, the table with this row."""
    text = form.get("number", "1")
    number = int(text) if text.isdecimal() and len(text) < 4 else 1
    row = {"number": number, "wish": form, "answer": answer}
    if wants_part(request):
        return page("trial_row.html", place=place, document=document, row=row)
    return _page(
        place, revision, document, [row if each["number"] == number else each for each in _empty(max(ROWS, number))]
    )


def _empty(count: int) -> list[dict[str, Any]]:
    return [{"number": number, "wish": {}, "answer": None} for number in range(1, count + 1)]


def wished(form: dict[str, str]) -> dict[str, Any]:
    """A row as a request for a size; what is left empty is not asked for."""
    wish: dict[str, Any] = {name: text for name in ALONE if (text := form.get(name, "").strip())}
    for name, notation in (("set", PAIRS), ("options", PAIRS), ("keep", WORDS)):
        if form.get(name, "").strip():
            wish[name] = notation.value(form[name])
    if form.get("others") and "set" in wish:
        wish["others"] = form["others"]
    return wish


async def answered(caller: Caller, revision: str, wish: dict[str, Any]) -> dict[str, Any] | None:
    """The size that was made of a wish with what was given, or why not and what would do; None for no wish."""
    if not wish:
        return None
    try:
        grade = (await caller.post(f"{revision}/grades", {"request": wish})).json
        document = (await caller.get(f"/grades/{grade['id']}")).json
        answer = (await caller.get(f"/grades/{grade['id']}/answer")).json
    except Refused as refused:
        if refused.status in (401, 403):
            raise
        return {"problem": refused.problem, "remedies": _remedies(refused)}
    return _told(grade["id"], document, answer)


async def answered_of_draft(caller: Caller, draft: str, wish: dict[str, Any]) -> dict[str, Any] | None:
    """The same of a draft, whose sizes are kept nowhere."""
    if not wish:
        return None
    try:
        made = (await caller.post(f"/drafts/{draft}/trials", {"request": wish})).json
    except Refused as refused:
        if refused.status in (401, 403):
            raise
        return {"problem": refused.problem, "remedies": _remedies(refused)}
    return _told(None, made["grade"], made["answer"])


def _told(grade: str | None, document: dict[str, Any], answer: dict[str, Any]) -> dict[str, Any]:
    told = answer["dimensions"]
    return {
        "problem": None,
        "grade": grade,
        "volume": document.get("volume"),
        "given": [
            {"name": name, "value": each["value"], "says": told.get(name, {}).get("says", "")}
            for name, each in document["dimensions"].items()
        ],
        "unlike": [
            each["says"]
            for each in told.values()
            if each.get("wished") is not None and each["wished"] != each["given"] and each.get("says")
        ],
    }


def _remedies(refused: Refused) -> list[dict[str, Any]]:
    """What would do, with the fields that ask for it."""
    found = []
    for remedy in refused.problem.get("remedies") or ():
        request = remedy.get("request") or {}
        fields = {name: str(request[name]) for name in ALONE if name in request}
        fields |= {name: PAIRS.text(request[name]) for name in ("set", "options") if name in request}
        fields |= {"keep": WORDS.text(request["keep"])} if "keep" in request else {}
        fields |= {"others": request["others"]} if "others" in request else {}
        found.append({"change": remedy["change"], "fields": fields if request else {}})
    return found


HANDLERS = (trials, trial, draft_trials, draft_trial)
