"""Templates into answers: escaped by default, with a strict policy and no inline script or style."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from litestar import MediaType, Response

from api.pages.words import FILTERS

if TYPE_CHECKING:
    from collections.abc import Mapping

HERE = Path(__file__).parent
STATIC = HERE / "static"
FOLDERS = (HERE / "templates", HERE / "order" / "templates", HERE / "proof" / "templates")
"""Where templates lie; names are unique over all of them."""


def policy(framed_by: str = "'none'") -> str:
    """The Content-Security-Policy of a page; `framed_by` lists the origins that may show it in a frame."""
    return (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        f"base-uri 'none'; form-action 'self'; frame-ancestors {framed_by}"
    )


def page(
    template: str, *, status: int = 200, headers: Mapping[str, str] | None = None, **content: Any
) -> Response[str]:
    """A template as an answer; headers given here go before the usual ones."""
    # Under no-referrer a browser would send its own forms with the origin null.
    usual = {
        "Content-Security-Policy": policy(),
        "Cache-Control": "private, no-cache",
        "Referrer-Policy": "same-origin",
        "Vary": "HX-Request",
    }
    return Response(
        rendered(template, **content),
        status_code=status,
        media_type=MediaType.HTML,
        headers={**usual, **(headers or {})},
    )


def rendered(template: str, **content: Any) -> str:
    """A template as text; a name that it needs and does not get is an error."""
    return _environment().get_template(template).render(**content)


@cache
def asset(name: str) -> str:
    """The address of a static file, which changes with its content."""
    return f"/assets/{name}?v={sha256((STATIC / name).read_bytes()).hexdigest()[:12]}"


@cache
def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(FOLDERS),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["asset"] = asset
    made.filters.update(FILTERS)
    return made
