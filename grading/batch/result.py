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
    reasons     ids of relations: of a bound row those that are held, of one that fails some that cannot all hold, the
                failing one first
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

    def lines(self, start: int = 0, end: int | None = None) -> Iterator[dict[str, Any]]:
        """Rows for JSON: number from 0, whether consistent, and the dimensions in mm, or what fails.

        Every one says that it is not on the ruler. Of what fails, relations are named that cannot all hold; there
        may be others.
        """
        rows = range(len(self))[start:end]
        written = self.values[rows.start : rows.stop].round(DECIMALS)
        for row, values in zip(rows, written, strict=True):
            reason = self.reasons[self.reason[row]]
            if self.status[row] == RowStatus.FAILS:
                yield {"row": row, "consistent": False, "on_ruler": False, **self._failing(reason)}
                continue
            dimensions = dict(zip(self.dimensions, values.tolist(), strict=True))
            yield {"row": row, "consistent": True, "on_ruler": False, "held": reason, "dimensions": dimensions}

    def _failing(self, reason: tuple[str, ...]) -> dict[str, Any]:
        first = self.relations.get(reason[0])
        says = {} if first is None else {"says": first.says, "because": first.because, "path": first.path}
        return {"fails": reason[0], **says, "with": reason[1:]}


DECIMALS = 6
"""Decimals of a millimetre that are written."""
