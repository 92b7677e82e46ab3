"""How time and memory grow with the pieces of a bag, from 10 to 1,000: slopes in log-log, by least squares.

Each bag has a process of its own. Time is the processor's for reading, drawing, compiling and grading one size, the
least of some repetitions. Memory is the most that Python and numpy hold at once in doing so (by tracemalloc, in a run
that is not timed); the resident size of the whole process, interpreter and libraries included, is given beside it.
How single orders grow with those that are stored (`orders_exponent`) is measured by `tests.benchmarks.orders`.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tracemalloc
from time import process_time
from typing import Any

import numpy as np
import psutil

from grading.grade import Grade
from grading.pipeline import compile_document, grade_size, read_document
from grading.proof import prove
from tests.benchmarks import demo, generated, orders

PIECES = (10, 20, 50, 100, 200, 500, 1000)
QUICK = (10, 40)
REPEATED_BELOW = 200
REPETITIONS = 5
REQUEST = {"scale": "11/10"}


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark on generated bags."""
    counts = QUICK if quick else PIECES
    figures = [_apart(count) for count in counts]
    return {
        "pieces": list(counts),
        "compile_s": [round(figure["compile"], 3) for figure in figures],
        "grade_s": [round(figure["grade"], 3) for figure in figures],
        "memory_mb": [round(figure["memory"] / 2**20, 1) for figure in figures],
        "resident_mb": [round(figure["resident"] / 2**20) for figure in figures],
        "pieces_exponent": _slope(counts, [figure["compile"] + figure["grade"] for figure in figures]),
        "memory_exponent": _slope(counts, [figure["memory"] for figure in figures]),
        **orders.measure(quick=quick),
    }


def _slope(counts: tuple[int, ...], values: list[float]) -> float:
    return round(float(np.polyfit(np.log(counts), np.log(values), 1)[0]), 3)


def _apart(count: int) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.scale", str(count)], check=True, capture_output=True, text=True
    )
    figure: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    demo.note(f"{count} pieces: {figure}")
    return figure


def one_bag(count: int) -> dict[str, float]:
    """Seconds to read and compile, and to grade, a bag of this many pieces; and the bytes that it takes."""
    _made(generated.bag(10))
    document = generated.bag(count)
    made = [_made(document) for _ in range(REPETITIONS if count < REPEATED_BELOW else 2)]
    if not all(claim.holds for claim in prove(made[-1][2])):
        message = f"a grade of {count} pieces does not hold"
        raise AssertionError(message)
    compiled, graded = min(one[0] for one in made), min(one[1] for one in made)
    del made
    tracemalloc.start()
    _made(document)
    memory = tracemalloc.get_traced_memory()[1]
    resident = psutil.Process().memory_info().rss
    return {"compile": compiled, "grade": graded, "memory": float(memory), "resident": float(resident)}


def _made(document: dict[str, Any]) -> tuple[float, float, Grade]:
    started = process_time()
    pattern = read_document(document)
    prepared = compile_document(pattern)
    compiled = process_time()
    grade = grade_size(pattern, request=REQUEST, prepared=prepared)
    return compiled - started, process_time() - compiled, grade


if __name__ == "__main__":
    print(json.dumps(one_bag(int(sys.argv[1]))))
