"""Places of a document as plain data, sound or not: found by their paths, and changed where they lie.

A path is keys joined by dots; `*` stands for every key of an object and for every place in a list.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from grading.document.steps import MEASURE
from grading.exact import looks_like_length

EXPRESSIONS = (
    *("inside.*", "outside.*", "rules.*.holds", "seams.*.ease", "contents.*.opening"),
    *("pieces.*.outline.rectangle.*", "pieces.*.outline.trapezoid.*", "pieces.*.outline.disc.*"),
    *("pieces.*.outline.rounded_rectangle.*", "pieces.*.outline.rounded_rectangle.corners.*"),
    *("pieces.*.outline.sector.*", "pieces.*.outline.cone.*", "pieces.*.outline.start.*"),
    *("pieces.*.outline.edges.*.to.*", "pieces.*.outline.edges.*.rise", "pieces.*.outline.edges.*.cubic.*.*"),
    *("pieces.*.edges.*.allowance", "pieces.*.notches.*.at", "pieces.*.motif.point.*"),
    *("pieces.*.lines.*.from.*", "pieces.*.lines.*.to.*", "pieces.*.layers.*.oversize", "pieces.*.layers.*.inset"),
    *("seams.*.join.*.from", "seams.*.join.*.to", "seams.*.to.*.from", "seams.*.to.*.to"),
    *("coverings.*.clear.*", "coverings.*.clear.*.at_least", "coverings.*.takes_up.*"),
    *("findings.*.zip.length", "findings.*.zip.exposed", "findings.*.hardware.width"),
    *("findings.*.webbing.width", "findings.*.webbing.length", "findings.*.webbing.ends.by"),
    "findings.*.webbing.adjusts.*",
    *("findings.*.elastic.width", "findings.*.elastic.length", "findings.*.elastic.ends.by"),
    *("findings.*.binding.width", "findings.*.binding.join"),
    *("findings.*.binding.along.*.from", "findings.*.binding.along.*.to"),
    "order.price.minutes.*.by_length.*.of",
)
"""Where an expression may stand that names dimensions and thicknesses."""
SIDES = ("seams.*.join.*", "seams.*.to.*", "findings.*.binding.along.*", "steps.*.finishes.*")
"""Where an edge or a line of a use is named."""
WHENS = (
    *(f"{key}.*.when" for key in ("dimensions", "pieces", "seams", "coverings", "contents", "findings", "rules")),
    *("steps.*.when", "pieces.*.layers.*.when", "pieces.*.notches.*.when", "pieces.*.lines.*.when"),
)
"""Where a part says under which choices it is there."""
MIDDLE = "middle"
"""The one word that may stand in the place of an expression."""
_COMPARED = re.compile(r"([<>=]=)")


def places(node: Any, path: str) -> Iterator[tuple[Any, Any]]:
    """What holds each place at a path, and its key there."""
    first, _, rest = path.partition(".")
    keys: list[Any] = []
    if isinstance(node, dict):
        keys = list(node) if first == "*" else [first] if first in node else []
    elif isinstance(node, list) and first == "*":
        keys = list(range(len(node)))
    for key in keys:
        if rest:
            yield from places(node[key], rest)
        else:
            yield node, key


def rewrite(document: Any, path: str, change: Callable[[str], str]) -> None:
    """Change every text at a path."""
    for holder, key in places(document, path):
        if isinstance(holder[key], str):
            holder[key] = change(holder[key])


def rekey(document: Any, path: str, old: str, new: str) -> None:
    """Give a key of every object at a path another name, in its place."""
    for holder, key in places(document, path):
        inner = holder[key]
        if isinstance(inner, dict) and old in inner:
            holder[key] = {new if name == old else name: value for name, value in inner.items()}


def named(document: Any, *keys: str) -> dict[str, Any]:
    """The object at these keys; an empty one where there is none."""
    for key in keys:
        document = document.get(key) if isinstance(document, dict) else None
    return document if isinstance(document, dict) else {}


def rewrite_expressions(document: Any, old: str, new: str) -> None:
    """Change a name in every expression."""
    word = re.compile(rf"(?<![A-Za-z0-9_.]){re.escape(old)}(?![A-Za-z0-9_])")

    def change(text: str) -> str:
        parts = _COMPARED.split(text)
        return "".join(part if looks_like_length(part) else word.sub(new, part) for part in parts)

    for path in EXPRESSIONS:
        keeps = path.endswith(".at")
        rewrite(document, path, lambda text, keeps=keeps: text if keeps and text == MIDDLE else change(text))  # type: ignore[misc]


def rewrite_sides(document: Any, change: Callable[[str, str, bool], tuple[str, str]]) -> None:
    """Change the use and the edge or line in every entry of a side; `change` is told whether it is a line."""

    def reference(text: str, is_line: bool) -> str:
        named_, space, direction = text.partition(" ")
        use, point, part = named_.partition(".")
        return ".".join(change(use, part, is_line)) + space + direction if point else text

    for path in SIDES:
        rewrite(document, path, lambda text: reference(text, False))
        rewrite(document, f"{path}.edge", lambda text: reference(text, False))
        rewrite(document, f"{path}.line", lambda text: reference(text, True))


def rewrite_meetings(document: Any, change: Callable[[str, str], tuple[str, str]]) -> None:
    """Change the use and the notch in every pair of notches that meet."""

    def reference(text: str) -> str:
        use, point, notch = text.partition(".")
        return ".".join(change(use, notch)) if point else text

    rewrite(document, "seams.*.notches.*.*", reference)


def rewrite_measures(document: Any, change: Callable[[list[str]], list[str]]) -> None:
    """Change the path of every measure in the texts of steps."""

    def measure(found: re.Match[str]) -> str:
        if found["path"] is None:
            return found[0]
        keys = found["path"].strip().split(".")
        changed = change(keys)
        return found[0] if changed == keys else "{" + ".".join(changed) + "}"

    rewrite(document, "steps.*.text", lambda text: MEASURE.sub(measure, text))
