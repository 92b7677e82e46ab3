"""How values read on a page."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable


def spoken(name: str) -> str:
    """A name of the document as words: `front_panel` reads front panel."""
    return name.replace("_", " ")


def moment(text: str) -> str:
    """A time of the interface as day and minute: 2025-03-01 09:30."""
    return datetime.fromisoformat(text).strftime("%Y-%m-%d %H:%M")


def short(name: str) -> str:
    """The first eight digits of a long id, for people who compare two."""
    return name[:8]


def counted(count: int, one: str, many: str | None = None) -> str:
    """A number with its noun: 1 seam, 2 seams."""
    return f"{count} {one if count == 1 else many or one + 's'}"


FILTERS: dict[str, Callable[..., Any]] = {"spoken": spoken, "moment": moment, "short": short, "counted": counted}
