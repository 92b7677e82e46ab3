"""All mutants of all demo grades: printed numbers changed, and relations withheld from the solver."""

from __future__ import annotations

from typing import Any

from tests import mutations
from tests.benchmarks import demo


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Count the mutants and those that the verifier missed, over all demo grades."""
    totals = {"single": 0, "single_missed": 0, "withheld": 0, "withheld_missed": 0}
    for name in demo.names():
        for size in demo.SIZES:
            counts = mutations.count(demo.document(name), size, sample=40 if quick else None)
            for key in totals:
                totals[key] += counts[key]
            demo.note(f"{name} {size}: {counts}")
    return totals
