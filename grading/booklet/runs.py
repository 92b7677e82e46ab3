"""What one run of setting the pages finds, and what the run before it has found; both are carried by the canvas."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass
class Found:
    """The page of each heading by its key, and how many pages there are; 0 before any run."""

    pages: dict[str, int] = field(default_factory=dict)
    count: int = 0


def begin(canvas: Any, known: Found, found: Found) -> None:
    """Hands a canvas what is known, and where to note what is found."""
    canvas.booklet_known, canvas.booklet_found = known, found


def known(canvas: Any) -> Found:
    """What the run before has found."""
    before: Found = canvas.booklet_known
    return before


def note_page(canvas: Any, key: str) -> None:
    """Notes that the heading of this key is on the page in hand."""
    canvas.booklet_found.pages[key] = canvas.getPageNumber()
