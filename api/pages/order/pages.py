"""The order form of a pattern: choosing, price and picture, ordering; on a page of its own or in a shop's page."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from litestar import Request, Response, get, post
from litestar.datastructures import State
from litestar.params import FromPath

from api.pages.caller import wants_part
from api.pages.door import Refused
from api.pages.order.answer import Answer, answered, placed
from api.pages.order.fields import Fields, read_fields
from api.pages.order.opened import PATTERN, Opened, opened_form
from api.pages.rendering import STATIC, page, policy

Asked = Request[Any, Any, State]
SVG = "image/svg+xml"
MOST_TYPED = 2000
ANYWHERE = {"Cross-Origin-Resource-Policy": "cross-origin"}
"""What shops' pages may load, those too that isolate themselves."""
SCRIPT = Path(STATIC) / "order-form.js"
GRADE = re.compile(r"[0-9a-f]{64}", re.ASCII)
PICTURED = ("beside", "unit", "cloths")


@get("/assets/order-form.js")
async def embedding_script() -> Response[bytes]:
    """The script tag of a shop's page: puts a form there and keeps it as high as it is."""
    headers = {**ANYWHERE, "Cache-Control": "public, max-age=3600"}
    return Response(SCRIPT.read_bytes(), media_type="text/javascript", headers=headers)


@get("/form/{form:str}")
async def order_page(request: Asked, form: FromPath[str]) -> Response[str]:
    """Shows what may be chosen at once; what the usual choice costs is asked for by the page's own script."""
    try:
        opened = await opened_form(request, form)
    except Refused as error:
        return _closed(form, error)
    content = _content(opened, read_fields(opened.form, {}), Answer(), {})
    return page("order.html", headers=_headers(opened), **content, problem="")


@post("/form/{form:str}", status_code=200)
async def chosen(request: Asked, form: FromPath[str]) -> Response[str]:
    """Shows the form with what was chosen; without a script this is how a price is asked for."""
    return await _shown(request, form, await _typed(request))


@post("/form/{form:str}/answer", status_code=200)
async def answer(request: Asked, form: FromPath[str]) -> Response[str]:
    """The price and the picture alone, for the page's own script."""
    typed = await _typed(request)
    try:
        opened = await opened_form(request, form)
        fields = read_fields(opened.form, typed)
        found = await answered(opened, fields)
    except Refused as error:
        return _closed(form, error)
    content = _content(opened, fields, found, typed)
    return page("order_part.html", headers=_headers(opened), **content, whole=False)


@get("/form/{form:str}/picture/{grade:str}")
async def picture(request: Asked, form: FromPath[str], grade: FromPath[str]) -> Response[bytes]:
    """The finished bag of a quote."""
    opened = await opened_form(request, form)
    if GRADE.fullmatch(grade) is None:
        raise Refused(404, {"title": "There is no such picture"})
    query = {name: value for name in PICTURED if (value := request.query_params.get(name))}
    content = (await opened.caller.get(f"/grades/{grade}/picture", query=query)).content
    return Response(content, media_type=SVG, headers={"Cache-Control": "private, max-age=3600"})


@post("/form/{form:str}/orders", status_code=200)
async def ordered(request: Asked, form: FromPath[str]) -> Response[str]:
    """Places the order of a quote, once however often it is sent."""
    typed = await _typed(request)
    try:
        opened = await opened_form(request, form)
    except Refused as error:
        return _closed(form, error)
    missing = [words for name, words in NEEDED.items() if not typed.get(name, "").strip()]
    problem = f"Please give {' and '.join(missing)}." if missing else ""
    if not missing:
        try:
            order = (await _placed(opened, typed)).json
        except Refused as error:
            problem = _why_not(error)
        else:
            told = placed(opened.form, read_fields(opened.form, typed), order)
            shown = {"opened": opened, "order": order, "told": told, "origins": opened.origins}
            return page("order_placed.html", headers=_headers(opened), **shown)
    fields = read_fields(opened.form, typed)
    found = await answered(opened, fields)
    content = _content(opened, fields, found, typed)
    return page("order.html", status=409, headers=_headers(opened), **content, problem=problem)


NEEDED = {"name": "your name", "contact": "where you can be reached"}


async def _placed(opened: Opened, typed: dict[str, str]) -> Any:
    customer = {name: typed[name].strip()[:200] for name in NEEDED}
    body = {"quote": typed.get("quote", ""), "customer": customer, "notes": typed.get("notes", "").strip()}
    return await opened.caller.post("/orders", body, headers={"Idempotency-Key": f'"{typed.get("key", "")}"'})


def _why_not(error: Refused) -> str:
    kind = str(error.problem.get("type", "")).rpartition("/")[2]
    if kind == "quote-expired":
        return "The price was not valid any more. This is the price now; nothing has been ordered yet."
    if kind == "quote-ordered":
        return "This has been ordered already. If you want another one, order again from here."
    if error.status == 429 or error.status >= 500:
        return "The workshop does not answer just now. Nothing has been ordered; please try again in a moment."
    return "That could not be ordered. Please look at what you chose, and order again."


async def _shown(request: Asked, form: str, typed: dict[str, str]) -> Response[str]:
    try:
        opened = await opened_form(request, form)
        fields = read_fields(opened.form, typed)
        part = wants_part(request)
        found = Answer() if part else await answered(opened, fields)
    except Refused as error:
        return _closed(form, error)
    content = _content(opened, fields, found, typed)
    if part:
        return page("order_part.html", headers=_headers(opened), **content, whole=True)
    return page("order.html", headers=_headers(opened), **content, problem="")


def _content(opened: Opened, fields: Fields, found: Answer, typed: dict[str, str]) -> dict[str, Any]:
    return {
        "opened": opened,
        "form": opened.form,
        "fields": fields,
        "answer": found,
        "typed": typed,
        "origins": opened.origins,
    }


def _headers(opened: Opened) -> dict[str, str]:
    return {"Content-Security-Policy": policy(opened.framed_by), **ANYWHERE, "Cache-Control": "private, no-store"}


def _closed(form: str, error: Refused) -> Response[str]:
    """A form that is not there, or not any more; it may be told anywhere. Whoever is signed in is told all of it."""
    if PATTERN.fullmatch(form) is not None:
        raise error
    closed = error.status in (401, 403, 404, 422)
    headers = {"Content-Security-Policy": policy("*"), **ANYWHERE}
    return page("order_closed.html", status=404 if closed else 503, headers=headers, closed=closed)


async def _typed(request: Asked) -> dict[str, str]:
    """What was sent, with what one of the buttons takes in place of what was typed."""
    typed = {name: str(value)[:MOST_TYPED] for name, value in (await request.form()).items()}
    for taken in typed.pop("take", "").split(","):
        name, _, value = taken.strip().partition(" ")
        if name and value:
            typed[f"measure {name}"] = value
            typed["size"] = "own"
    return typed


HANDLERS = (embedding_script, order_page, chosen, answer, picture, ordered)
