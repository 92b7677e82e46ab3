"""Gates: a few tests of each piece that tell in which one a row most likely lies. They guess; all tests judge."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from grading.batch.piece import Piece
from grading.batch.points import Floats, Places, Points

SAMPLE = 2048
"""Rows by which a gate is chosen."""
BLOCK = 2048


class Gate:
    """Tests of a piece, in floats, of which most rows that lie outside fail at least one."""

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.chosen: list[int] = []

    @property
    def matrix(self) -> Floats:
        """(columns, chosen)."""
        return self.piece.judge[:, self.chosen]

    def exclude(self, points: Points, rows: Places) -> None:
        """Choose further tests, until each sampled one of these rows that lies outside fails one that is chosen."""
        if not rows.size:
            return
        spread = np.linspace(0, len(rows) - 1, min(SAMPLE, len(rows))).astype(np.intp)
        failing = points.rough[rows[spread]] @ self.piece.judge < 0
        outside = failing.any(axis=1) & ~failing[:, self.chosen].any(axis=1)
        while outside.any():
            best = int(failing[outside].sum(axis=0).argmax())
            self.chosen.append(best)
            outside &= ~failing[:, best]


def guess_pieces(gates: Mapping[int, Gate], points: Points, rows: Places) -> NDArray[np.int16]:
    """For each row the first piece whose gate lets it through, or -1."""
    result = np.full(len(rows), -1, dtype=np.int16)
    wide = [place for place, gate in gates.items() if not gate.chosen]
    if wide or not gates:
        result[:] = wide[0] if wide else -1
        return result
    every = np.ascontiguousarray(np.hstack([gate.matrix for gate in gates.values()]).T)
    ends = np.cumsum([len(gate.chosen) for gate in gates.values()]).tolist()
    whole = len(rows) == len(points)
    for start in range(0, len(rows), BLOCK):
        end = min(start + BLOCK, len(rows))
        block = points.rough[start:end] if whole else points.rough[rows[start:end]]
        values = every @ block.T
        part = result[start:end]
        for place, first, last in reversed(list(zip(gates, [0, *ends], ends, strict=False))):
            part[values[first:last].min(axis=0) >= 0] = place
    return result
