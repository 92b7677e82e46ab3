"""One system of measures from the first page to the last: a booklet is of the metric edition or of the imperial one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from grading.booklet.papers import Json, Papers
from grading.document.editions import RULERS, System
from grading.errors import Fault, RequestFaults
from grading.exact import (
    INCH,
    NotALength,
    Ruler,
    looks_like_length,
    print_length,
    print_number,
    read_length,
    read_ruler,
)

METRIC_UNITS, INCH_UNITS = (" mm", " cm", " m"), (" in", " ft", " yd")
_METRIC_IN_PROSE = re.compile(r"(?<![\w./,-])\d{1,6}(?:\.\d{1,4})?\s?(?:mm|cm|m)\b", re.ASCII)
"""Inches are not looked for in prose, where "in" is a word."""
_QUOTIENT = re.compile(r"\d+/\d+ mm", re.ASCII)
TITLES: dict[System, str] = {"metric": "Metric edition", "imperial": "Imperial edition"}
OFF = Fraction(3, 100)
"""By how much of itself a length of the other system may be off when it is put on the ruler; else on a finer one."""
PARTS: dict[System, tuple[Fraction, ...]] = {
    "metric": (Fraction(1), Fraction(1, 2), Fraction(1, 10)),
    "imperial": tuple(INCH / part for part in (8, 16, 32, 64)),
}
"""Ever finer steps in mm on which lengths of the other system are put."""
UNITS: dict[System, str] = {"metric": "millimetres", "imperial": "inches"}


@dataclass(frozen=True)
class Edition:
    """The system of a booklet, and the ruler on which what was written in the other one is put, told as about."""

    system: System
    ruler: Ruler

    @property
    def title(self) -> str:
        """As a maker knows it: "Metric edition"."""
        return TITLES[self.system]

    @property
    def other(self) -> System:
        """The system that this edition is not of."""
        return "imperial" if self.system == "metric" else "metric"

    def length(self, text: str) -> str:
        """A length of a document as it is printed here; one of the other system, or a quotient, is told as about.

        What is no length, as an empty text, stays as it is.
        """
        foreign = INCH_UNITS if self.system == "metric" else METRIC_UNITS
        if looks_like_length(text) and (text.endswith(foreign) or _QUOTIENT.fullmatch(text)):
            return self._about(text)
        return text

    def prose(self, text: str) -> str:
        """A text of a document; metric lengths in it are told as about in the imperial edition."""
        if self.system == "metric":
            return text
        return _METRIC_IN_PROSE.sub(lambda found: self._about(found[0]), text)

    def _about(self, text: str) -> str:
        try:
            length = read_length(text)
        except NotALength:
            return text
        if text.endswith((" m", " yd")):
            return f"about {_whole(length, self.system)}"
        for part in PARTS[self.system]:
            step = min(part, self.ruler.step)
            found = Ruler(step, self.ruler.in_inches).put(length)
            if abs(found - length) <= OFF * length:
                return f"about {print_length(found, in_inches=self.ruler.in_inches)}"
        unit = "in" if self.ruler.in_inches else "mm"
        return f"about {float(length / read_length(f'1 {unit}')):.2f} {unit}"


def edition_of(papers: Papers) -> Edition:
    """The edition of a booklet: that which the pattern names, or that of its ruler.

    Raises RequestFaults for every size that is on a ruler of the other system.
    """
    rulers = [read_ruler(size.grade["ruler"]) for size in papers.sizes]
    system = system_of(papers.pattern, papers.sizes[0].grade["ruler"])
    faults = tuple(_strange(papers, rulers, system))
    if faults:
        raise RequestFaults(faults)
    return Edition(system, rulers[0])


def system_of(pattern: Json, ruler: str) -> System:
    """The system that a pattern's document names for its edition, else that of a printed ruler."""
    named: System | None = (pattern.get("edition") or {}).get("system")
    return named or _system(read_ruler(ruler))


def is_of(ruler: str, system: System) -> bool:
    """Whether a printed ruler is of this system."""
    return _system(read_ruler(ruler)) == system


def _system(ruler: Ruler) -> System:
    return "imperial" if ruler.in_inches else "metric"


def _strange(papers: Papers, rulers: list[Ruler], system: System) -> Iterator[Fault]:
    for size, ruler in zip(papers.sizes, rulers, strict=True):
        if _system(ruler) != system:
            name = "the size asked for" if size.name is None else f"the size {size.name}"
            path = "ruler" if size.name in (None, "base") else f"sizes.{size.name}.ruler"
            yield Fault(
                path,
                f"{name} is on a ruler of {ruler}, and this is the {system} edition: a booklet never mixes the two",
                f"take a ruler such as {RULERS[system]}, or make the booklet of the {_other(system)} edition",
            )


def _whole(length: Fraction, system: System) -> str:
    """A long length, as of thread: in yards and eighths of them, or in metres and tenths."""
    if system == "imperial":
        yards = Ruler(Fraction(1, 8), True).put(length / read_length("1 yd"))
        return f"{print_length(yards * INCH, in_inches=True).removesuffix(' in')} yd"
    metres = Ruler(Fraction(1, 10), False).put(length / read_length("1 m"))
    return f"{print_number(metres)} m"


def _other(system: System) -> System:
    return "imperial" if system == "metric" else "metric"
