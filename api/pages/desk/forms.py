"""What a form of a page has sent."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from litestar import Request


async def sent(request: Request[Any, Any, Any]) -> dict[str, str]:
    """The fields as texts; of a name sent twice the last one counts: a ticked box comes after its no."""
    form = await request.form()
    return {name: value for name, value in form.multi_items() if isinstance(value, str)}


def row_path(text: str) -> tuple[str | int, ...]:
    """The path of a row as its form sends it: keys joined by dots, places in lists as numbers."""
    return tuple(int(key) if key.isdecimal() and len(key) < 7 else key for key in text.split(".") if key)


def asked(request: Request[Any, Any, Any], name: str, usual: str = "") -> str:
    """A parameter of the address."""
    return request.query_params.get(name) or usual


def version_tag(form: Mapping[str, str]) -> str:
    """The version that a form was made from, as the tag for If-Match."""
    version = form.get("version", "")
    return f'"{version}"' if version.isdecimal() else '""'
