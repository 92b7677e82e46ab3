"""From the words of the command line to an exit code."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from api.command import (
    batch,
    bulk,
    chart,
    check,
    difference,
    failures,
    grade,
    layouts,
    serve,
    size_range,
    solution_map,
    substitute,
    supplies,
    verify,
)
from api.command.arguments import parser
from api.command.files import Unreadable
from grading.errors import SizewrightError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Callable, Sequence

COMMANDS: dict[str, Callable[[Namespace], int]] = {
    "serve": serve.run,
    "check": check.run,
    "grade": grade.run,
    "batch": batch.run,
    "chart": chart.run,
    "difference": difference.run,
    "map": solution_map.run,
    "range": size_range.run,
    "layouts": layouts.run,
    "supplies": supplies.run,
    "bulk": bulk.run,
    "substitute": substitute.run,
    "verify": verify.run,
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit code: 0 fine, 1 faults or failing claims, 2 unreadable or misused.

    `arguments` default to those of the process. Misuse ends in SystemExit with code 2, as argparse has it.
    """
    options = parser().parse_args(arguments)
    try:
        code = COMMANDS[options.command](options)
        sys.stdout.flush()
    except Unreadable as failure:
        return failures.unreadable(failure)
    except SizewrightError as failure:
        return failures.refused(failure, as_json=getattr(options, "json", False))
    except BrokenPipeError:
        # The reader, a pager or `head`, has gone; nothing is left to say, also not at the end of the process.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return 130
    return code
