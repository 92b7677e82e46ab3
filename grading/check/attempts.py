"""Attempts: what came of each size of a draft."""

from __future__ import annotations

from dataclasses import dataclass

from grading.errors import SizewrightError
from grading.grade import Grade
from grading.proof import Claim


@dataclass(frozen=True)
class Attempt:
    """One size: its grade with all claims, or why it was refused."""

    size: str
    grade: Grade | None = None
    claims: tuple[Claim, ...] = ()
    refused: SizewrightError | None = None
