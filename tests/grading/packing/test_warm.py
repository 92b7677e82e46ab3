"""Kernels are compiled for what they are written for, and nothing compiles later."""

from __future__ import annotations

import subprocess
import sys

WATCHED = """
from numba.core import event

compiled = []

class Listener(event.Listener):
    def on_start(self, happening):
        compiled.append(happening.data["dispatcher"].py_func.__name__)
    def on_end(self, happening):
        pass

from grading.packing import warm
warm()
event.register("numba:compile", Listener())
from grading.packing.bound import least_length
from grading.packing.search import Effort, search
from grading.packing.task import Item, PackingTask
task = PackingTask(9, (Item(4, 3, True), Item(3, 3, motif=(1, 1)), Item(2, 5, at_fold=True), Item(5, 2)), (4, 2))
search(task, Effort(300_000))
least_length(task)
print(compiled)
"""


def test_nothing_compiles_after_warming() -> None:
    done = subprocess.run([sys.executable, "-c", WATCHED], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"
