"""Who is calling: the key that the sign-in page keeps in a cookie."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from litestar import Request
from litestar.datastructures import State
from litestar.di import NamedDependency, Provide
from litestar.response import Redirect

from api.pages.door import Caller, Refused
from api.pages.rendering import page

if TYPE_CHECKING:
    from litestar import Response

COOKIE = "sizewright_key"
SIGN_IN = "/desk/sign-in"

AtDoor = NamedDependency[Caller]


def caller_of(request: Request[Any, Any, State], state: State) -> Caller:
    """The door with the key of this request's cookie."""
    return Caller(state.door, request.cookies.get(COOKIE) or None)


DEPENDENCIES = {"caller": Provide(caller_of, sync_to_thread=False)}


def wants_part(request: Request[Any, Any, Any]) -> bool:
    """Whether the page's own script asks, for a part of a page; boosted links and history ask for the whole."""
    return request.headers.get("hx-request") == "true" and request.headers.get("hx-history-restore-request") != "true"


def refused(request: Request[Any, Any, Any], error: Refused) -> Response[Any]:
    """A page that says why; without a key, or with one that does not count, the way to the sign-in page."""
    if error.status == 401:
        back = request.url.path if request.method == "GET" else "/desk"
        there = f"{SIGN_IN}?back={quote(back)}"
        if wants_part(request):
            return page("part_refused.html", problem=error.problem, headers={"HX-Redirect": there})
        return Redirect(there, status_code=303)
    template = "part_refused.html" if wants_part(request) else "refused.html"
    return page(template, status=error.status, problem=error.problem, status_code=error.status)
