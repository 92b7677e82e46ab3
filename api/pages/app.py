"""The pages as an application of their own, beside the interface and its client."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from litestar import Litestar, Request, Response, get
from litestar.config.compression import CompressionConfig
from litestar.datastructures import CacheControlHeader, State
from litestar.enums import ScopeType
from litestar.exceptions import HTTPException
from litestar.response import Redirect
from litestar.static_files import create_static_files_router

from api.pages import sign_in
from api.pages.caller import DEPENDENCIES, refused
from api.pages.desk import handlers as desk
from api.pages.door import Door, Refused
from api.pages.order import pages as order
from api.pages.origin import refuse_foreign
from api.pages.proof import pages as proof
from api.pages.rendering import STATIC

if TYPE_CHECKING:
    from collections.abc import Sequence

    from litestar.types import ASGIApp, ControllerRouterHandler, Receive, Scope, Send

PREFIXES = ("/desk", "/form", "/proofs", "/assets")
MOST_BYTES = 10 * 1024 * 1024
HOUR = 3600

HANDLERS: Sequence[ControllerRouterHandler] = (
    *sign_in.HANDLERS,
    *desk.HANDLERS,
    *proof.HANDLERS,
    *order.HANDLERS,
)
"""All handlers of pages."""


@get("/")
async def front() -> Redirect:
    """The desk is the front page."""
    return Redirect("/desk", status_code=303)


def create_pages(door: Door) -> Litestar:
    """The pages as an ASGI application that knows the interface through this door alone."""
    files = create_static_files_router(
        path="/assets",
        directories=[STATIC],
        include_in_schema=False,
        cache_control=CacheControlHeader(max_age=HOUR, public=True),
    )
    return Litestar(
        route_handlers=[front, files, *HANDLERS],
        state=State({"door": door}),
        dependencies=DEPENDENCIES,
        before_request=refuse_foreign,
        request_max_body_size=MOST_BYTES,
        compression_config=CompressionConfig(backend="gzip", minimum_size=2000, gzip_compress_level=6),
        exception_handlers={Refused: refused, HTTPException: _failed},
        openapi_config=None,
        logging_config=None,
    )


class WithPages:
    """Sends addresses of pages to the pages, and all others to the interface."""

    def __init__(self, interface: ASGIApp, pages: ASGIApp) -> None:
        self._interface, self._pages = interface, pages

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes a connection on to one of the two."""
        to_pages = scope["type"] == ScopeType.HTTP and _is_page(scope["path"])
        await (self._pages if to_pages else self._interface)(scope, receive, send)


def _is_page(path: str) -> bool:
    return path == "/" or any(path == prefix or path.startswith(f"{prefix}/") for prefix in PREFIXES)


def _failed(request: Request[Any, Any, Any], error: HTTPException) -> Response[Any]:
    """What the pages themselves refuse, in the same words as the interface."""
    titles = {404: "Nothing is here", 405: "This cannot be done here", 413: "This is too large"}
    title = titles.get(error.status_code, "This cannot be read" if error.status_code < 500 else "Something went wrong")
    return refused(request, Refused(error.status_code, {"title": title, "detail": "The desk has everything there is."}))
