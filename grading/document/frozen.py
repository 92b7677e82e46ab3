"""Parsed JSON as immutable data: arrays as tuples, no deeper than any document is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from grading.errors import Fault

GREATEST_DEPTH = 40
"""How deep a document may be nested; no part of the format is deeper than ten."""


class TooDeep(ValueError):
    """Data nested deeper than any document, as a fault."""

    def __init__(self, path: str) -> None:
        self.fault = Fault(path, f"it is nested more than {GREATEST_DEPTH} deep", "nest it less")
        super().__init__(str(self.fault))


def frozen(value: Any, path: str, depth: int = 0) -> Any:
    """The value with arrays as tuples, since documents are immutable and read strictly. Raises TooDeep."""
    if depth > GREATEST_DEPTH:
        raise TooDeep(path)
    if isinstance(value, Mapping):
        return {key: frozen(item, path, depth + 1) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return tuple(frozen(item, path, depth + 1) for item in value)
    return value
