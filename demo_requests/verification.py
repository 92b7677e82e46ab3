"""Runs the independent verifier on a pattern and a grade as they lie on the disk."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from demo_requests.environment import ROOT

# The interpreter below the environment, without its packages: only the standard library and this folder.
START = (
    "import runpy, sys; sys.path.insert(0, sys.argv.pop(1)); "
    "runpy.run_module('grading.verify', run_name='__main__', alter_sys=True)"
)
VERDICT = re.compile(r"^(\d+) of (\d+) claims hold", re.MULTILINE)


@dataclass(frozen=True)
class Verdict:
    """How many claims of a grade hold, of how many, and all that the verifier wrote."""

    proven: int
    claims: int
    report: str

    @property
    def holds(self) -> bool:
        """Whether there are claims and all of them hold."""
        return 0 < self.proven == self.claims


def verify(pattern: Path, grade: Path, *further: Path, of: str | None = None, root: Path = ROOT) -> Verdict:
    """The verdict of `grading.verify` in a process of its own, where nothing is installed.

    `of` is `layouts` or `supplies` where not the grade but what `further` names is to be judged.

    Raises RuntimeError when the verifier cannot read its input or says no number of claims: a silent verifier
    proves nothing.
    """
    base = getattr(sys, "_base_executable", sys.executable)
    options = [] if of is None else [f"--{of}"]
    command = [base, "-I", "-S", "-c", START, str(root), *options, *map(str, (pattern, grade, *further))]
    run = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)
    found = VERDICT.findall(run.stdout)
    if run.returncode not in (0, 1) or not found:
        judged = (grade, *further)[-1]
        raise RuntimeError(
            f"The verifier gave no verdict on {judged} (exit {run.returncode}).\n{run.stdout}{run.stderr}"
        )
    proven, claims = map(int, found[-1])  # texts of the pattern stand above, whatever they say
    if (run.returncode == 0) != (proven == claims):
        raise RuntimeError(
            f"The verifier contradicts itself on {(grade, *further)[-1]}: exit {run.returncode}.\n{run.stdout}"
        )
    return Verdict(proven, claims, run.stdout)
