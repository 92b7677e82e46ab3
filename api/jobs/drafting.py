"""What workers do with drafts."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from grading.pictures.draft_picture import draft_picture

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


def picture(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The pieces of a draft that can be drawn, as SVG."""
    return draft_picture(json.loads(arguments["document"]), arguments["lit"])
