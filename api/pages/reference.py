"""The interactive reference: a page that works without any other server, from files that lie here.

Swagger UI 5.35.0 (Apache-2.0, its licence lies beside it) draws the page.
"""

from __future__ import annotations

from pathlib import Path

from litestar import MediaType, Response, get
from litestar.static_files import create_static_files_router

from api.access.scopes import OPEN

HERE = Path(__file__).parent
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


@get("/reference", media_type=MediaType.HTML, include_in_schema=False, sync_to_thread=False, opt={"scope": OPEN})
def reference_page() -> Response[bytes]:
    """The page; everything it needs comes from the same server."""
    page = (HERE / "reference.html").read_bytes()
    return Response(page, media_type=MediaType.HTML, headers={"Content-Security-Policy": POLICY})


reference_files = create_static_files_router(
    path="/reference/static", directories=[HERE / "static"], include_in_schema=False, opt={"scope": OPEN}
)
