"""100,000 sizes with every inequality judged, those near zero again exactly, over the bare product of the same shape.

The bare product is what numpy needs to multiply the same parameters with one matrix of all dimensions and all judged
inequalities. It is taken twice: as a whole, and block by block into memory that is used again; the quicker one counts.
"""

from __future__ import annotations

import random
from time import perf_counter
from typing import Any

import numpy as np

from grading.batch import BatchRequest, BatchResult, BatchSolver, RowStatus, read_batch
from grading.errors import Conflict
from grading.model import pose
from grading.pipeline import Prepared, compile_document, read_document
from grading.solve import nearest_point
from tests.benchmarks import demo, generated

SEED = 20_261_125
ROWS = 100_000
COMPARED = 60
ROUNDS = 9
BLOCK = 256
NEAR = 1e-9
SET = ("width", "height", "depth")
PIECES = 50
EXACT_SHARE = 100
"""One row in so many is drawn at whole centimetres, where inequalities are often exactly zero."""


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
    ours, theirs = [], []
    for _ in range(3 if quick else ROUNDS):
        started = perf_counter()
        solver.solve(request)
        ours.append(perf_counter() - started)
        theirs.append(min(bare.whole(), bare.by_blocks()))
    counts = np.bincount(result.status, minlength=len(RowStatus))
    demo.note(f"{name}: first {first:.3f} s, then {np.median(ours):.3f} s; bare product {np.median(theirs):.3f} s")
    return {
        "rows": len(request),
        "dimensions": len(result.dimensions),
        "inequalities": judged,
        "as_wished": int(counts[RowStatus.AS_WISHED]),
        "bound": int(counts[RowStatus.BOUND]),
        "failing": int(counts[RowStatus.FAILS]),
        "judged_exactly": result.exact,
        "ours_us": round(float(np.median(ours)) / len(request) * 1e6, 3),
        "first_ratio": round(first / float(np.median(theirs)), 2),
        "product_ratio": round(float(np.median(ours)) / float(np.median(theirs)), 2),
    }


def _requests(prepared: Prepared, count: int) -> BatchRequest:
    generator = random.Random(SEED)
    base = {name: float(prepared.model.draft.base[name]) for name in SET}
    rows = []
    for number in range(count):
        places = -1 if number % EXACT_SHARE == 0 else 1
        rows.append([round(value * generator.uniform(0.85, 1.15), places) for value in base.values()])
    return read_batch({"columns": list(SET), "rows": rows}, prepared.model.pattern.unit)


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
        self.block = np.empty((BLOCK, columns))

    def whole(self) -> float:
        started = perf_counter()
        np.matmul(self.points, self.matrix)
        return perf_counter() - started

    def by_blocks(self) -> float:
        started = perf_counter()
        for start in range(0, len(self.points), BLOCK):
            some = self.points[start : start + BLOCK]
            np.matmul(some, self.matrix, out=self.block[: len(some)])
        return perf_counter() - started


def _bare(request: BatchRequest, columns: int) -> _Bare:
    return _Bare(request.points().rough, columns)
