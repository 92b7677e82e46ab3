"""How long a booklet of the largest demo takes: all sizes, layouts given, from plain documents to the bytes of the PDF.

Seconds of processor time and of the clock, the least and the middle of several runs; grading and laying are not in it,
since a booklet is made of what they have made.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from statistics import median
from time import perf_counter, process_time
from typing import Any

import pypdf

from grading.booklet import Papers, booklet
from grading.pipeline import chart_document, grade_size, read_document, size_chart
from grading.press import QUICKLY, size_papers
from grading.workroom import layouts_document, layouts_of
from tests.benchmarks import demo

RUNS = 7


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark: the booklets of all sizes and of one."""
    papers = _papers()
    one = Papers(papers.pattern, papers.chart, papers.sizes[:1])
    runs = 2 if quick else RUNS
    content = booklet(papers)
    result: dict[str, Any] = {"pattern": demo.LARGEST, "sizes": len(papers.sizes), "runs": runs}
    result["pages"], result["bytes"] = len(pypdf.PdfReader(io.BytesIO(content)).pages), len(content)
    for name, asked in (("all", papers), ("one", one)):
        result[f"seconds_{name}"] = _seconds(lambda asked=asked: booklet(asked), runs, perf_counter)
        result[f"processor_seconds_{name}"] = _seconds(lambda asked=asked: booklet(asked), runs, process_time)
        demo.note(f"{name}: {result[f'seconds_{name}']} s")
    return result


def _papers() -> Papers:
    document = demo.document(demo.LARGEST)
    pattern = read_document(document)
    sizes = []
    for size in demo.SIZES:
        grade = grade_size(pattern, size=size)
        sizes.append(size_papers(grade, layouts_document(layouts_of(grade, QUICKLY))))
        demo.note(f"{size} is graded and laid out")
    return Papers(document, chart_document(size_chart(pattern)), tuple(sizes))


def _seconds(work: Callable[[], bytes], runs: int, clock: Callable[[], float]) -> dict[str, float]:
    taken = []
    for _ in range(runs):
        started = clock()
        work()
        taken.append(clock() - started)
    return {"least": round(min(taken), 3), "median": round(median(taken), 3)}
