"""Names as a maker reads them."""

from __future__ import annotations

from collections.abc import Sequence


def words(name: str) -> str:
    """A name in words."""
    return name.replace("_", " ")


def listed(names: Sequence[str]) -> str:
    """Names in a sentence: a, b and c."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
