"""`python -m tests.benchmarks NAME`: run one benchmark; its last line is a JSON object."""

from __future__ import annotations

import argparse
import json
import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # read when numpy is loaded: one core each side

from tests.benchmarks import batch, grade, mutations, ranges, ruler, scale, solve

BENCHMARKS = {
    "batch": batch.measure,
    "grade": grade.measure,
    "mutations": mutations.measure,
    "ranges": ranges.measure,
    "ruler": ruler.measure,
    "scale": scale.measure,
    "solve": solve.measure,
}


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("name", choices=sorted(BENCHMARKS))
    parser.add_argument("--quick", action="store_true", help="a small sample, to see that the benchmark runs")
    arguments = parser.parse_args()
    print(json.dumps(BENCHMARKS[arguments.name](quick=arguments.quick)))


if __name__ == "__main__":
    main()
