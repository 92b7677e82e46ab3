"""Length of cloth used beyond the least: the public C instances, shuffled, beside rectpack; and generated bags.

A second of processor time for each search, on one core. rectpack packs into bins of a given height: every algorithm of
it with every sort order, and every one that lets it choose the next item, is asked for ever lower bins, and the best
of all counts, however long that takes. Of bags the least length is not known; theirs is compared with a proven bound.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import fmean
from time import process_time
from typing import Any

import rectpack

from grading.cloth import lay_out
from grading.packing.bound import least_length
from grading.packing.check import check_packing
from grading.packing.search import Effort, search
from grading.packing.task import Item, Packing, PackingTask
from grading.pipeline import grade_size, read_document
from tests.benchmarks import demo
from tests.benchmarks.bags import bag_task

INSTANCES = Path(__file__).with_name("data") / "strip_packing_c.json"
SECONDS = 1.0
SEEDS = 5
BAGS = 10
ENDLESS = Effort(10**15)

SORTS = [getattr(rectpack, name) for name in dir(rectpack) if name.startswith("SORT_")]
ALGORITHMS = [
    getattr(rectpack, name) for name in dir(rectpack) if name.startswith(("MaxRects", "Skyline", "Guillotine"))
]

COMPILE = """
import time, numba
started = time.process_time()
import grading.packing.search
print(time.process_time() - started)
"""


@dataclass(frozen=True)
class Instance:
    """A public instance: items that tile a strip of this width and length exactly, as listed."""

    name: str
    width: int
    length: int
    items: tuple[tuple[int, int], ...]

    def task(self, seed: int, *, turnable: bool) -> PackingTask:
        """The items shuffled: in their published order they give the answer away."""
        items = [Item(across, along, turnable) for across, along in self.items]
        random.Random(seed).shuffle(items)
        return PackingTask(self.width, tuple(items))


def measure(*, quick: bool = False, seeds: int | None = None, instances: str | None = None) -> dict[str, Any]:
    """Run the benchmark; `instances` are names or beginnings of names between commas, as "C1,C4-P2"."""
    seeds = seeds if seeds is not None else 1 if quick else SEEDS
    chosen = tuple((instances or ("C1,C4-P1" if quick else "C")).split(","))
    result: dict[str, Any] = {"compile_seconds": round(_compile_seconds(), 2), "seconds": SECONDS, "seeds": seeds}
    public = [instance for instance in _instances() if instance.name.startswith(chosen)]
    result["instances"] = len(public)
    for key, turnable in (("fixed", False), ("rotating", True)):
        gaps = [_gaps(instance, seeds, turnable) for instance in public]
        result[f"gap_{key}"] = round(fmean(ours for ours, _ in gaps), 3)
        result[f"library_gap_{key}"] = round(fmean(theirs for _, theirs in gaps), 3)
    for key, turnable in (("fixed", False), ("rotating", True)):
        result[f"bag_gap_{key}"] = round(_bag_gap(2 if quick else BAGS, turnable), 3)
    result["demo_seconds"] = round(_demo_seconds(), 2)
    return result


def _demo_seconds() -> float:
    """Processor time for laying out all cloths of the demo patterns, fat quarters counted too, without other widths."""
    grades = [grade_size(read_document(demo.document(name)), size="base") for name in demo.names()]
    lay_out(grades[0], {"effort": "quick", "widths": []})
    started = process_time()
    for grade in grades:
        lay_out(grade, {"widths": []})
    return process_time() - started


def _compile_seconds() -> float:
    """How long the kernels of the search take to compile where none is kept: seconds of processor time."""
    with tempfile.TemporaryDirectory() as folder:
        environment = os.environ | {"NUMBA_CACHE_DIR": folder}
        done = subprocess.run(
            [sys.executable, "-c", COMPILE], env=environment, check=True, capture_output=True, text=True
        )
    return float(done.stdout)


def _instances() -> Iterator[Instance]:
    for entry in json.loads(INSTANCES.read_text(encoding="utf-8"))["instances"]:
        items = tuple((across, along) for across, along, count in entry["items"] for _ in range(count))
        yield Instance(entry["name"], entry["W"], entry["H_opt"], items)


def _gaps(instance: Instance, seeds: int, turnable: bool) -> tuple[float, float]:
    """Mean gap in % of ours and of the library's over the seeds."""
    ours, theirs = [], []
    for seed in range(seeds):
        task = instance.task(seed, turnable=turnable)
        ours.append(_search(task, seed).length)
        theirs.append(_library_length(task, instance.length))
    demo.note(
        f"{instance.name}{', turned' if turnable else ''}: least {instance.length}, ours {ours}, library {theirs}"
    )
    gaps = ([100 * (length / instance.length - 1) for length in lengths] for lengths in (ours, theirs))
    return fmean(next(gaps)), fmean(next(gaps))


def _search(task: PackingTask, seed: int, least: int = 0) -> Packing:
    started = process_time()
    packing = search(task, ENDLESS, seed, lambda: process_time() - started > SECONDS, least=least)
    check_packing(task, packing)
    return packing


def _library_length(task: PackingTask, least: int) -> int:
    """The least height of a bin into which the library gets all items."""
    best = sum(max(item.across, item.along) for item in task.items)
    for algorithm in ALGORITHMS:
        for options in _options(algorithm.__name__):
            low, high = least, best
            while low < high:  # first one step less than the best, then halfway to the least
                tried = high - 1 if high == best and best < 2 * least else (low + high) // 2
                if _library_packs(task, tried, pack_algo=algorithm, **options):
                    high = tried
                elif tried == best - 1:
                    break
                else:
                    low = tried + 1
            best = min(best, high)
    return best


def _options(algorithm: str) -> Iterator[dict[str, Any]]:
    for sort in SORTS:
        yield {"bin_algo": rectpack.PackingBin.BFF, "sort_algo": sort}
    if not algorithm.startswith("Skyline"):  # there it takes seconds for each bin
        yield {"bin_algo": rectpack.PackingBin.Global}


def _library_packs(task: PackingTask, height: int, **options: Any) -> bool:
    packer = rectpack.newPacker(mode=rectpack.PackingMode.Offline, rotation=task.items[0].turnable, **options)
    packer.add_bin(task.width, height)
    for item in task.items:
        packer.add_rect(item.across, item.along)
    packer.pack()
    return len(packer.rect_list()) == len(task.items)


def _bag_gap(count: int, turnable: bool) -> float:
    """Mean gap in % between what is found in a second and the proven bound."""
    gaps = []
    for seed in range(count):
        task = bag_task(seed, turnable=turnable)
        bound = least_length(task).length
        length = _search(task, seed, least=bound).length
        gaps.append(100 * (length / bound - 1))
        demo.note(f"bag {seed}{', turned' if turnable else ''}: bound {bound}, ours {length}, {gaps[-1]:.2f} %")
    return fmean(gaps)
