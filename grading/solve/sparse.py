"""Sparse matrices and block-diagonal metrics in floats, so that a search costs what its few coefficients cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grading.solve.row import Row

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
FLATTEST = 1e-6
"""The least pivot, of a scaled metric, that floats can be trusted with."""


@dataclass(frozen=True)
class Sparse:
    """A matrix by its entries, sorted by row; no place occurs twice."""

    rows: Places
    columns: Places
    values: Floats
    shape: tuple[int, int]

    def times(self, vector: Floats) -> Floats:
        """The matrix times a vector."""
        return _summed(self.rows, self.values * vector[self.columns], self.shape[0])

    def transposed_times(self, vector: Floats) -> Floats:
        """The transposed matrix times a vector."""
        return _summed(self.columns, self.values * vector[self.rows], self.shape[1])

    def dense(self, rows: Sequence[int]) -> Floats:
        """Some rows, with all their zeros."""
        some = np.zeros((len(rows), self.shape[1]))
        starts, ends = np.searchsorted(self.rows, rows), np.searchsorted(self.rows, rows, side="right")
        for place, (start, end) in enumerate(zip(starts, ends, strict=True)):
            some[place, self.columns[start:end]] = self.values[start:end]
        return some

    def times_matrix(self, other: Sparse) -> Sparse:
        """The product of two matrices."""
        firsts = np.searchsorted(other.rows, self.columns)
        counts = np.searchsorted(other.rows, self.columns, side="right") - firsts
        left = np.repeat(np.arange(len(self.values)), counts)
        right = np.arange(len(left)) - np.repeat(np.cumsum(counts) - counts, counts) + np.repeat(firsts, counts)
        shape = (self.shape[0], other.shape[1])
        return gathered(self.rows[left], other.columns[right], self.values[left] * other.values[right], shape)


def _summed(places: Places, values: Floats, count: int) -> Floats:
    """The sum of the values of each place."""
    sums: Floats = np.bincount(places, values, count).astype(np.float64, copy=False)
    return sums


def gathered(rows: Places, columns: Places, values: Floats, shape: tuple[int, int]) -> Sparse:
    """The matrix of these entries, those of one place added up."""
    keys, places = np.unique(rows * max(shape[1], 1) + columns, return_inverse=True)
    above, across = np.divmod(keys, max(shape[1], 1))
    return Sparse(above, across, _summed(places, values, len(keys)), shape)


def sparse_of(rows: Sequence[Row], columns: Mapping[str, int]) -> Sparse:
    """Exact rows without their constants as a matrix."""
    entries = [
        (place, columns[name], float(value)) for place, row in enumerate(rows) for name, value in row.items() if name
    ]
    shape = (len(rows), len(columns))
    if not entries:
        return Sparse(np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0), shape)
    places, names, values = zip(*entries, strict=True)
    return gathered(np.array(places, np.intp), np.array(names, np.intp), np.array(values), shape)


@dataclass(frozen=True)
class Metric:
    """The inverse square root of a positive definite matrix that falls into blocks.

    blocks  for each size of block: (count, size) places of the rows, and (count, size, size) the roots
    where   of each row the size of its block, the number of the block among those, and its place in it
    """

    blocks: Mapping[int, tuple[Places, Floats]]
    where: tuple[Places, Places, Places]

    def times(self, vector: Floats) -> Floats:
        """The root times a vector."""
        result = np.zeros(len(vector))
        for places, roots in self.blocks.values():
            result[places] = np.einsum("cij,cj->ci", roots, vector[places])
        return result

    def transposed_times(self, vector: Floats) -> Floats:
        """The transposed root times a vector."""
        result = np.zeros(len(vector))
        for places, roots in self.blocks.values():
            result[places] = np.einsum("cji,cj->ci", roots, vector[places])
        return result

    def of_rows(self, matrix: Sparse) -> Sparse:
        """Each row of a matrix in the metric: the root times it."""
        sizes, numbers, places = (part[matrix.columns] for part in self.where)
        parts = [_in_block(matrix, sizes == size, numbers, places, *self.blocks[size]) for size in self.blocks]
        rows, columns, values = (np.concatenate(part) for part in zip(*parts, strict=True)) if parts else _NONE
        order = np.lexsort((columns, rows))
        return Sparse(rows[order], columns[order], values[order], matrix.shape)


_NONE = (np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0))


def _in_block(
    matrix: Sparse, mine: NDArray[np.bool_], numbers: Places, places: Places, columns: Places, roots: Floats
) -> tuple[Places, Places, Floats]:
    """The entries of rows in the blocks of one size, in the metric."""
    count, size = columns.shape
    pairs, spots = np.unique(matrix.rows[mine] * count + numbers[mine], return_inverse=True)
    vectors = np.zeros((len(pairs), size))
    vectors[spots, places[mine]] = matrix.values[mine]
    rows, blocks = np.divmod(pairs, count)
    values = np.einsum("pij,pj->pi", roots[blocks], vectors)
    return np.repeat(rows, size), columns[blocks].ravel(), values.ravel()


def metric_of(spread: Sparse, heavy: Floats) -> Metric | None:
    """The metric of 2 × spreadᵀ × heavy × spread; None unless it is positive definite, as far as floats can tell."""
    free = spread.shape[1]
    kept = heavy[spread.rows] > 0
    part = Sparse(spread.rows[kept], spread.columns[kept], spread.values[kept], spread.shape)
    turned = gathered(part.columns, part.rows, 2 * part.values * heavy[part.rows], (free, spread.shape[0]))
    hessian = turned.times_matrix(part)
    blocks: dict[int, tuple[Places, Floats]] = {}
    where = (np.zeros(free, np.intp), np.zeros(free, np.intp), np.zeros(free, np.intp))
    for size, places in _components(part.rows, part.columns, free).items():
        where[0][places], where[1][places], where[2][places] = size, np.arange(len(places))[:, None], np.arange(size)
        matrices = np.zeros((len(places), size, size))
        mine = where[0][hessian.rows] == size
        rows, columns = hessian.rows[mine], hessian.columns[mine]
        matrices[where[1][rows], where[2][rows], where[2][columns]] = hessian.values[mine]
        roots = _roots(matrices)
        if roots is None:
            return None
        blocks[size] = (places, roots)
    return Metric(blocks, where)


def _components(rows: Places, columns: Places, count: int) -> dict[int, Places]:
    """Columns that rows tie together, by their number: (components, columns)."""
    leaders = list(range(count))

    def leader(place: int) -> int:
        while leaders[place] != place:
            leaders[place] = leaders[leaders[place]]
            place = leaders[place]
        return place

    for one, other, first, second in zip(rows[:-1], rows[1:], columns[:-1].tolist(), columns[1:].tolist(), strict=True):
        if one == other:
            leaders[leader(second)] = leader(first)
    members: dict[int, list[int]] = {}
    for place in range(count):
        members.setdefault(leader(place), []).append(place)
    sizes: dict[int, list[list[int]]] = {}
    for group in members.values():
        sizes.setdefault(len(group), []).append(group)
    return {size: np.array(groups, np.intp) for size, groups in sorted(sizes.items())}


def _roots(matrices: Floats) -> Floats | None:
    sizes = np.sqrt(np.einsum("cii->ci", matrices))
    if sizes.min() <= 0:
        return None
    try:
        lower = np.linalg.cholesky(matrices / (sizes[:, :, None] * sizes[:, None, :]))
    except np.linalg.LinAlgError:
        return None
    if np.einsum("cii->ci", lower).min() < FLATTEST:
        return None
    roots: Floats = np.linalg.inv(lower) / sizes[:, None, :]
    return roots
