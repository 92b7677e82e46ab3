"""The command: `python -m grading.verify PATTERN.json GRADE.json`."""

from __future__ import annotations

import sys

from grading.verify.command import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
