"""Changes are taken from the pages' own forms alone, not from pages of other sites."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from api.pages.rendering import page

if TYPE_CHECKING:
    from litestar import Request, Response

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
LOOPBACK = frozenset({"localhost", "127.0.0.1", "::1"})


async def refuse_foreign(request: Request[Any, Any, Any]) -> Response[str] | None:
    """A refusal for an unsafe method that another site's page has sent, or that does not say where it comes from.

    Sec-Fetch-Site (Fetch Metadata) decides where a browser sends it, else Origin (RFC 6454) against the host.
    """
    if request.method in SAFE or _own(request):
        return None
    problem = {
        "title": "This was sent from another site",
        "detail": "Nothing was changed. Open the page here and send it again.",
    }
    return page("refused.html", status=403, problem=problem, status_code=403)


def on_loopback(request: Request[Any, Any, Any]) -> bool:
    """Whether the page is asked for on this very machine."""
    return (request.base_url.hostname or "") in LOOPBACK


def _own(request: Request[Any, Any, Any]) -> bool:
    site = request.headers.get("sec-fetch-site")
    if site is not None:
        return site == "same-origin"
    origin = request.headers.get("origin")
    return origin is not None and urlsplit(origin).netloc == request.headers.get("host", "")
