"""Gates: a few tests of each piece that tell in which one a row most likely lies. They guess; all tests judge."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from grading.batch.piece import Piece
from grading.batch.points import Floats, Places, Points

Numbers = NDArray[np.signedinteger[Any]]
SAMPLE = 2048
"""Rows by which a gate is chosen."""
BLOCK = 2048
"""Rows that are looked at together."""
AT_ONCE = 8
"""Gates that are tried together."""


class Gate:
    """Tests of a piece, in floats, of which most rows that lie outside fail at least one."""

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.chosen: list[int] = []
        self.used = 0

    @property
    def matrix(self) -> Floats:
        """(columns, chosen)."""
        return self.piece.judge[:, self.chosen]

    def exclude(self, points: Points, rows: Places) -> None:
        """Choose further tests, until each sampled one of these rows that lies outside fails one that is chosen."""
        if not rows.size:
            return
        spread = np.linspace(0, len(rows) - 1, min(SAMPLE, len(rows))).astype(np.intp)
        failing = points.rough[rows[spread]] @ points.folded(self.piece.judge) < 0
        outside = failing.any(axis=1) & ~failing[:, self.chosen].any(axis=1)
        while outside.any():
            best = int(failing[outside].sum(axis=0).argmax())
            self.chosen.append(best)
            outside &= ~failing[:, best]


def guess_pieces(gates: Mapping[int, Gate], points: Points, rows: Places) -> Numbers:
    """For each row a piece whose gate lets it through, or -1; gates that have held the most rows are tried first."""
    result: Numbers = np.full(len(rows), -1, np.int16 if max(gates, default=0) < 2**15 else np.int32)
    waiting = np.arange(len(rows))
    order = sorted(gates, key=lambda place: -gates[place].used)
    for first in range(0, len(order), AT_ONCE):
        some = order[first : first + AT_ONCE]
        result[waiting] = _through({place: gates[place] for place in some}, points, rows[waiting], result.dtype)
        waiting = waiting[result[waiting] < 0]
        if not waiting.size:
            break
    return result


def _through(gates: Mapping[int, Gate], points: Points, rows: Places, kind: Any) -> Numbers:
    """For each row the first of these pieces whose gate lets it through, or -1."""
    result: Numbers = np.full(len(rows), -1, kind)
    wide = [place for place, gate in gates.items() if not gate.chosen]
    if wide:
        result[:] = wide[0]
        return result
    every = np.ascontiguousarray(points.folded(np.hstack([gate.matrix for gate in gates.values()])).T)
    ends = np.cumsum([len(gate.chosen) for gate in gates.values()]).tolist()
    spans = list(zip(gates, [0, *ends[:-1]], ends, strict=True))
    whole = len(rows) == len(points)
    for start in range(0, len(rows), BLOCK):
        end = min(start + BLOCK, len(rows))
        block = points.rough[start:end] if whole else points.rough[rows[start:end]]
        values = every @ block.T
        part = result[start:end]
        for place, first, last in reversed(spans):
            part[values[first:last].min(axis=0) >= 0] = place
    return result
