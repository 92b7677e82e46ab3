"""Measures in the texts of steps, of pieces, edges and coverings that are no longer what they were."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from grading.document.steps import MEASURE
from grading.substitute.references import NewEdge


@dataclass(frozen=True)
class Measures:
    """What stands for a measure from now on.

    `boxes` gives the parts of what is divided and the side of its box that is added up; `edges` what each edge has
    become, `clear` the texts of distances of coverings.
    """

    boxes: Mapping[str, tuple[tuple[str, str], str]] = field(default_factory=dict)
    edges: Mapping[tuple[str, str], NewEdge] = field(default_factory=dict)
    clear: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def rewritten(self, text: str) -> str:
        """The text with its measures rewritten."""
        return MEASURE.sub(self._measure, text)

    def _measure(self, found: re.Match[str]) -> str:
        match (found["path"] or "").strip().split("."):
            case [name, key] if name in self.boxes:
                parts, added = self.boxes[name]
                return self._added(f"{part}.{key}" for part in parts[: 2 if key == added else 1])
            case [name, edge, key] if (name, edge) in self.edges:
                names = self.edges[name, edge].names
                return self._added(f"{new}.{key}" for new in names[: 1 if key == "allowance" else 2])
            case [name, "clear", side] if (name, side) in self.clear:
                return self.clear[name, side]
        return found[0]

    def _added(self, paths: Iterable[str]) -> str:
        return " + ".join(f"{{{path}}}" for path in paths)
