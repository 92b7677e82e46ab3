"""All mutants of all demo grades and layouts: numbers changed, relations withheld from the solver, pieces moved."""

from __future__ import annotations

from typing import Any

from grading.errors import PieceDoesNotFit
from tests import layout_mutations, mutations
from tests.benchmarks import demo

STYLES = ("scissors", "rotary", "folded")


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Count the mutants and those that the verifier missed, over all demo grades and their layouts."""
    totals = {"single": 0, "single_missed": 0, "withheld": 0, "withheld_missed": 0, "laid": 0, "laid_missed": 0}
    sample = 40 if quick else None
    for name in demo.names():
        document = demo.document(name)
        for size in demo.SIZES:
            _add(totals, mutations.count(document, size, sample=sample), f"{name} {size}")
            for style in STYLES[:1] if quick else STYLES:
                try:
                    counts = layout_mutations.count(document, size, sample=sample, style=style)
                except PieceDoesNotFit as refused:
                    demo.note(f"{name} {size} {style}: {refused}")
                else:
                    _add(totals, counts, f"{name} {size} {style}")
    return totals


def _add(totals: dict[str, int], counts: dict[str, int], about: str) -> None:
    for key, number in counts.items():
        totals[key] += number
    demo.note(f"{about}: {counts}")
