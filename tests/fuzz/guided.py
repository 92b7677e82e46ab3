"""`python -m tests.fuzz.guided TARGET RUNS FIGURES`: inputs by atheris, which keeps those that go new ways.

The file of figures then tells the inputs, the longest processor time of one (seconds), the most memory held (bytes)
and how much of it was there before the first. Ends with another code than 0 where an input was answered as none may be.
"""

from __future__ import annotations

import json
import resource
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["api.body", "grading.document", "grading.exact", "grading.verify"]):
    from tests.fuzz.choices import Read
    from tests.fuzz.material import papers
    from tests.fuzz.targets import TARGETS

LONGEST_INPUT = 400
"""Bytes of decisions: the longest expression, or some changes of a document."""
KIBIBYTE = 1024


@dataclass
class Figures:
    """What is told of a run."""

    inputs: int = 0
    longest: float = 0.0
    memory: int = 0
    before: int = 0


def main() -> None:
    """Runs one target; never returns, since the fuzzer ends the process."""
    name, runs, told = sys.argv[1], int(sys.argv[2]), Path(sys.argv[3])
    target, figures = TARGETS[name], Figures()
    papers()
    figures.before = _memory()

    def one(content: bytes) -> None:
        started = time.process_time()
        target(Read(atheris.FuzzedDataProvider(content)))
        figures.inputs += 1
        figures.longest = max(figures.longest, time.process_time() - started)
        if figures.inputs % 1000 == 0 or figures.inputs >= runs:
            figures.memory = _memory()
            told.write_text(json.dumps(asdict(figures)))

    options = [f"-runs={runs}", f"-max_len={LONGEST_INPUT}", "-seed=1125", "-verbosity=0", f"-artifact_prefix={told}."]
    atheris.Setup([sys.argv[0], "-rss_limit_mb=2048", "-timeout=60", *options], one)
    atheris.Fuzz()


def _memory() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * KIBIBYTE


if __name__ == "__main__":
    main()
