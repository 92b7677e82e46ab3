"""What workers do with drafts."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from api.jobs.reading import refusing
from grading.document.renaming import renamed
from grading.pictures.draft_picture import draft_picture

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


def picture(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The pieces of a draft that can be drawn, as SVG."""
    return draft_picture(json.loads(arguments["document"]), arguments["lit"])


def rename(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> Any:
    """The document of a draft with a part and all references to it under another name; refuses `request`."""
    with refusing():
        return renamed(json.loads(arguments["document"]), arguments["kind"], arguments["old"], arguments["new"])
