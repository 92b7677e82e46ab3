"""How much more cloth straight strips take than pieces laid freely: public C instances, shuffled, and generated bags.

The free search has a second of processor time on one core, the strips their usual effort, whose time is told. Both are
checked. Least lengths of public instances are for pieces laid freely: strips cannot reach all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from statistics import fmean
from time import process_time
from typing import Any

from grading.packing.bound import least_length
from grading.packing.check import check_packing
from grading.packing.guillotine import cut_in_strips
from grading.packing.search import Effort, search
from grading.packing.task import PackingTask
from tests.benchmarks import demo
from tests.benchmarks.bags import bag_task
from tests.grading.packing.tasks import published

SECONDS = 1.0
BAGS = 10
PUBLIC_SEED = 1
ENDLESS = Effort(10**15)


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark: means of strips over free in %, and of both over the proven bound."""
    result: dict[str, Any] = {"free_seconds": SECONDS}
    for key, turnable in (("fixed", False), ("rotating", True)):
        public = [(name, task) for name, _, task in published(turnable=turnable, seed=PUBLIC_SEED)]
        bags = [(f"bag {seed}", bag_task(seed, turnable=turnable)) for seed in range(BAGS)]
        result |= _figures(key, public[:9:3] if quick else public)
        result |= _figures(f"bag_{key}", bags[:2] if quick else bags)
    return result


def _figures(key: str, tasks: Iterable[tuple[str, PackingTask]]) -> dict[str, float]:
    more, free_gaps, strip_gaps, seconds = [], [], [], []
    for name, task in tasks:
        bound = least_length(task).length
        free = search(task, ENDLESS, 0, _until_late(), least=bound)
        started = process_time()
        strips = cut_in_strips(task)
        seconds.append(process_time() - started)
        check_packing(task, free)
        check_packing(task, strips.packing)
        free_gaps.append(100 * (free.length / bound - 1))
        strip_gaps.append(100 * (strips.length / bound - 1))
        more.append(100 * (strips.length / free.length - 1))
        demo.note(f"{name}, {key}: bound {bound}, free {free.length}, strips {strips.length}, {more[-1]:+.2f} %")
    return {
        f"more_{key}": round(fmean(more), 3),
        f"free_gap_{key}": round(fmean(free_gaps), 3),
        f"strips_gap_{key}": round(fmean(strip_gaps), 3),
        f"strips_seconds_{key}": round(fmean(seconds), 3),
    }


def _until_late() -> Callable[[], bool]:
    started = process_time()
    return lambda: process_time() - started > SECONDS
