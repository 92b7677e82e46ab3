"""The answer to a batch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from grading.batch.points import Floats
from grading.model import Relation

RULER = "The ruler is not applied: these are nearest sizes, not yet on it."
FAILS = "Of a row that fails, relations are named that cannot all hold; there may be others."


class RowStatus(IntEnum):
    """How a row came out."""

    AS_WISHED = 0
    """Consistent; no inequality holds it away from what was wished."""
    BOUND = 1
    """Consistent; inequalities are held."""
    FAILS = 2
    """No size meets all relations."""


@dataclass(frozen=True)
class BatchResult:
    """The nearest size of each row, before the ruler.

    dimensions  names, in document order
    values      (rows, dimensions) float64, mm, each within about 1e-12 of its size; NaN in rows that fail
    status      (rows,) RowStatus; judged exactly
    reason      (rows,) place in `reasons`
    reasons     ids of relations: of a bound row those that are held, of one that fails some that cannot all hold, the one
                that fails first
    relations   what the ids stand for; ids of a request's own relations (asked, fixed, stock) may lack
    exact       how many judgements lay within the error of floats and were made exactly
    """

    dimensions: tuple[str, ...]
    values: Floats
    status: NDArray[np.int8]
    reason: NDArray[np.int32]
    reasons: tuple[tuple[str, ...], ...]
    relations: Mapping[str, Relation]
    exact: int

    def __len__(self) -> int:
        return len(self.status)

    def lines(self) -> Iterator[dict[str, Any]]:
        """Each row as plain data for JSON: its number from 0, whether it is consistent, its dimensions or what fails."""
        for row in range(len(self)):
            reason = self.reasons[self.reason[row]]
            if self.status[row] == RowStatus.FAILS:
                yield {"row": row, "consistent": False, **self._failing(reason)}
                continue
            values = self.values[row].round(DECIMALS).tolist()
            yield {
                "row": row,
                "consistent": True,
                "dimensions": dict(zip(self.dimensions, values, strict=True)),
                "held": list(reason),
            }

    def _failing(self, reason: tuple[str, ...]) -> dict[str, Any]:
        first = self.relations.get(reason[0])
        says = None if first is None else first.says
        return {"fails": reason[0], "says": says, "with": list(reason[1:])}


DECIMALS = 6
"""Decimals of a millimetre that are written."""
