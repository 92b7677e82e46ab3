"""What a booklet is made from: plain documents, as they are stored and sent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from grading.document import Pattern, read_pattern
from grading.document.options import resolve
from grading.document.steps import Step

Json = Mapping[str, Any]
Paper = Literal["A4", "letter"]
PAPERS: Mapping[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Sheets of paper, across and along in mm: A4 by ISO 216, Letter by ANSI/ASME Y14.1 (8 1/2 × 11 in; from memory)."""


@dataclass(frozen=True)
class SizePapers:
    """The documents of one size: its grade and its supplies; its answer and its layouts where they are there.

    `unlaid` tells why there are no layouts.
    """

    grade: Json
    supplies: Json
    answer: Json | None = None
    layouts: Json | None = None
    unlaid: str = ""

    @property
    def name(self) -> str | None:
        """The size's name; None for one that was asked for with a request of its own."""
        name: str | None = self.grade["size"]["name"]
        return name


@dataclass(frozen=True)
class Papers:
    """The document of a pattern, the chart of all its sizes, and the documents of the sizes that the booklet is for."""

    pattern: Json
    chart: Json
    sizes: tuple[SizePapers, ...]

    @cached_property
    def read(self) -> Pattern:
        """The pattern as the library reads it. Raises DocumentFaults."""
        return read_pattern(dict(self.pattern))

    def resolved(self, size: SizePapers) -> Pattern:
        """The pattern with the options of a size."""
        return resolve(self.read, size.grade.get("options", {}))

    def steps(self, size: SizePapers) -> tuple[Step, ...]:
        """The steps whose texts, with their measures, are those of the grade."""
        return self.resolved(size).steps

    @property
    def edition(self) -> Json:
        """What the pattern says of itself as a publication."""
        edition: Json = self.pattern.get("edition") or {}
        return edition
