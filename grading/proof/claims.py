"""Claims: single statements about a graded size, with the numbers on both sides."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Claim:
    """One statement. `left` and `right` are the two sides as texts; `path` is the place in the document."""

    kind: str
    about: str
    says: str
    left: str
    right: str
    holds: bool
    path: str
    remedy: str = ""
