"""Signing in with a key, and out again."""

from __future__ import annotations

from typing import Any

from litestar import Request, Response, get, post
from litestar.datastructures import Cookie, State
from litestar.response import Redirect

from api.pages.caller import COOKIE
from api.pages.door import Caller, Refused
from api.pages.origin import on_loopback
from api.pages.rendering import page

DAYS = 30
MOST_KEY = 400
Asked = Request[Any, Any, State]


@get("/desk/sign-in")
async def sign_in_page(request: Asked) -> Response[str]:
    """Asks for a key."""
    return page("sign_in.html", back=_local(request.query_params.get("back")), problem=None)


@post("/desk/sign-in", status_code=303)
async def sign_in(request: Asked, state: State) -> Response[Any]:
    """Keeps a key that the interface takes, out of the reach of scripts."""
    form = await request.form()
    key, back = str(form.get("key") or "").strip(), _local(str(form.get("back") or ""))
    try:
        if not key or len(key) > MOST_KEY or not key.isascii() or not key.isprintable():
            raise Refused(401, {"title": "This is no key", "detail": "A key begins with sw_ and has no spaces in it."})
        await Caller(state.door, key).get("/patterns", query={"limit": "1"})
    except Refused as error:
        return page("sign_in.html", status=error.status, back=back, problem=error.problem)
    return Redirect(back, status_code=303, cookies=[_cookie(request, key, DAYS * 24 * 3600)])


@post("/desk/sign-out", status_code=303)
async def sign_out(request: Asked) -> Redirect:
    """Forgets the key."""
    return Redirect("/desk/sign-in", status_code=303, cookies=[_cookie(request, "", 0)])


def _cookie(request: Asked, key: str, seconds: int) -> Cookie:
    return Cookie(
        key=COOKIE,
        value=key,
        max_age=seconds,
        path="/",
        httponly=True,
        samesite="strict",
        secure=not on_loopback(request),
    )


def _local(back: str | None) -> str:
    """An address on this server, else the desk."""
    local = back is not None and back.startswith("/") and not back.startswith(("//", "/\\")) and back.isprintable()
    return back if back is not None and local else "/desk"


HANDLERS = (sign_in_page, sign_in, sign_out)
