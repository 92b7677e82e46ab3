"""100,000 sizes with every inequality judged, those near zero again exactly, over the bare product of the same shape.

The bare product is what numpy needs to multiply the same parameters with one matrix of all dimensions and all judged
inequalities, into memory that is there already (`product_ratio`). Beside it stands the same product done block by
block into one small piece of memory (`block_ratio`), which keeps nothing and is what a processor can do at best.
Times are the least of the rounds, on each side.
"""

from __future__ import annotations

import random
from fractions import Fraction
from time import perf_counter
from typing import Any

import numpy as np

from grading.batch import BatchRequest, BatchResult, BatchSolver, RowStatus, read_batch
from grading.errors import Conflict
from grading.model import pose
from grading.pipeline import Prepared, compile_document, read_document
from grading.solve import nearest_point
from grading.solve.row import fraction
from tests.benchmarks import demo, generated

SEED = 20_261_125
ROWS = 100_000
COMPARED = 60
ROUNDS = 15
BLOCK = 256
NEAR = 1e-9
SET = ("width", "height", "depth")
PIECES = 50
EXACT_SHARE = 100
SPREAD = 0.15
"""How far, in proportion, sizes lie from the base."""
MOST_BELOW = 10**6
"""Edges with pi have no short quotient and cannot be asked for exactly."""


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark on the largest demo pattern, and on a generated bag."""
    patterns = {demo.LARGEST: demo.document(demo.LARGEST), "generated": generated.bag(PIECES)}
    results = {name: _on_pattern(name, document, quick) for name, document in patterns.items()}
    return {"pattern": demo.LARGEST, **results[demo.LARGEST], "generated": results["generated"]}


def _on_pattern(name: str, document: dict[str, Any], quick: bool) -> dict[str, Any]:
    prepared = compile_document(read_document(document))
    request = _requests(prepared, 4000 if quick else ROWS)
    solver = BatchSolver(prepared.model, prepared.compiled, request.kind)
    started = perf_counter()
    result = solver.solve(request)
    first = perf_counter() - started
    _compare(prepared, request, result, 10 if quick else COMPARED)
    judged = sum(not relation.is_equation for relation in solver.posed.problem.relations)
    bare = _bare(request, len(result.dimensions) + judged)
    ours, theirs, blocks = [], [], []
    for _ in range(3 if quick else ROUNDS):
        started = perf_counter()
        solver.solve(request)
        ours.append(perf_counter() - started)
        theirs.append(bare.whole())
        blocks.append(bare.by_blocks())
    counts = np.bincount(result.status, minlength=len(RowStatus))
    demo.note(f"{name}: first {first:.3f} s, then {min(ours):.3f} s; bare product {min(theirs):.3f} s")
    return {
        "rows": len(request),
        "dimensions": len(result.dimensions),
        "inequalities": judged,
        "as_wished": int(counts[RowStatus.AS_WISHED]),
        "bound": int(counts[RowStatus.BOUND]),
        "failing": int(counts[RowStatus.FAILS]),
        "judged_exactly": result.exact,
        "ours_us": round(min(ours) / len(request) * 1e6, 3),
        "first_ratio": round(first / min(theirs), 2),
        "product_ratio": round(min(ours) / min(theirs), 2),
        "block_ratio": round(min(ours) / min(blocks), 2),
    }


def _requests(prepared: Prepared, count: int) -> BatchRequest:
    """Sizes drawn around the base; one in EXACT_SHARE is moved to where an inequality is exactly zero."""
    generator = random.Random(SEED)
    base = [prepared.model.draft.base[name] for name in SET]
    tests = _tests(prepared, base)
    rows: list[list[float | str]] = []
    for number in range(count):
        row = [round(float(value) * generator.uniform(1 - SPREAD, 1 + SPREAD), 1) for value in base]
        rows.append(_at_an_edge(row, base, tests, generator) if number % EXACT_SHARE == 0 else list(row))
    return read_batch({"columns": list(SET), "rows": rows}, prepared.model.pattern.unit)


def _at_an_edge(
    row: list[float], base: list[Fraction], tests: list[list[Fraction]], generator: random.Random
) -> list[float | str]:
    """The row with one length changed so that an inequality is exactly zero, if there is one near."""
    column = generator.randrange(len(row))
    for test in generator.sample(tests, len(tests)):
        others = sum((test[at] * Fraction(str(row[at])) for at in range(len(row)) if at != column), test[-1])
        value = -others / test[column] if test[column] else Fraction(0)
        if abs(value - base[column]) <= SPREAD * base[column] and value.denominator < MOST_BELOW:
            return [*row[:column], f"{value.numerator}/{value.denominator} mm", *row[column + 1 :]]
    return list(row)


def _tests(prepared: Prepared, base: list[Fraction]) -> list[list[Fraction]]:
    """The inequalities as functions of what is asked, near the base: coefficients, and a constant."""
    request = read_batch({"columns": list(SET), "rows": [[f"{value} mm" for value in base]]})
    found = BatchSolver(prepared.model, prepared.compiled, request.kind).lasting_piece(request.points())
    if found is None:
        return []
    piece, points = found
    rest = [fraction(value) for value in points.exactly(0)[len(SET) :]]
    tests = []
    for _, vector in piece.tests:
        values = [fraction(value) for value in vector]
        constant = sum((value * size for value, size in zip(values[len(SET) :], rest, strict=True)), Fraction(0))
        tests.append([*values[: len(SET)], constant])
    return tests


def _compare(prepared: Prepared, request: BatchRequest, result: BatchResult, count: int) -> None:
    """Some rows against the exact method of single sizes."""
    for row in random.Random(SEED).sample(range(len(request)), count):
        try:
            point = nearest_point(pose(prepared.model, request.request(row)), prepared.compiled)
            away = np.abs(result.values[row] - [float(point[name]) for name in result.dimensions]).max()
            agrees = result.status[row] != RowStatus.FAILS and away <= NEAR
        except Conflict:
            agrees = result.status[row] == RowStatus.FAILS
        if not agrees:
            message = f"row {row} is another size alone"
            raise AssertionError(message)


class _Bare:
    """Products of the same shape with numbers of no meaning."""

    def __init__(self, points: np.ndarray[Any, Any], columns: int) -> None:
        self.points = points
        self.matrix = np.random.default_rng(SEED).random((points.shape[1], columns))
        self.result = np.zeros((len(points), columns))
        self.block = np.empty((BLOCK, columns))

    def whole(self) -> float:
        started = perf_counter()
        np.matmul(self.points, self.matrix, out=self.result)
        return perf_counter() - started

    def by_blocks(self) -> float:
        started = perf_counter()
        for start in range(0, len(self.points), BLOCK):
            some = self.points[start : start + BLOCK]
            np.matmul(some, self.matrix, out=self.block[: len(some)])
        return perf_counter() - started


def _bare(request: BatchRequest, columns: int) -> _Bare:
    return _Bare(request.points().rough, columns)
