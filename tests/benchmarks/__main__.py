"""`python -m tests.benchmarks NAME`: run one benchmark; its last line is a JSON object."""

from __future__ import annotations

import argparse
import json
import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # read when numpy is loaded: one core each side

from tests.benchmarks import (
    batch,
    booklet,
    cloth,
    faults,
    fuzz,
    grade,
    http,
    mutations,
    ranges,
    ruler,
    scale,
    solve,
    strips,
)

BENCHMARKS = {
    "batch": batch.measure,
    "booklet": booklet.measure,
    "cloth": cloth.measure,
    "faults": faults.measure,
    "fuzz": fuzz.measure,
    "grade": grade.measure,
    "http": http.measure,
    "mutations": mutations.measure,
    "ranges": ranges.measure,
    "ruler": ruler.measure,
    "scale": scale.measure,
    "solve": solve.measure,
    "strips": strips.measure,
}


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("name", choices=sorted(BENCHMARKS))
    parser.add_argument("--quick", action="store_true", help="a small sample, to see that the benchmark runs")
    parser.add_argument("--seeds", type=int, default=argparse.SUPPRESS, help="of cloth: how often items are shuffled")
    parser.add_argument("--instances", default=argparse.SUPPRESS, help='of cloth: which, as "C1,C4-P2"')
    arguments = vars(parser.parse_args())
    name = arguments.pop("name")
    if name != "cloth" and len(arguments) > 1:
        parser.error("--seeds and --instances are for cloth")
    print(json.dumps(BENCHMARKS[name](**arguments)))


if __name__ == "__main__":
    main()
