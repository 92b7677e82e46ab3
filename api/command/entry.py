"""From the words of the command line to an exit code."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING

from api.command import failures
from api.command.arguments import parser
from api.command.files import Unreadable
from grading.errors import SizewrightError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Callable, Sequence

MODULES = {
    "range": "size_range",
    "map": "solution_map",
    "restore": "backup",
    "export": "archive",
    "import": "archive",
}
"""The modules of commands that are not named as the command is."""


def _command(name: str) -> Callable[[Namespace], int]:
    """What a command runs, loaded when it is asked for: a server needs no solver in its memory."""
    run: Callable[[Namespace], int] = import_module(f"api.command.{MODULES.get(name, name)}").run
    return run


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit code: 0 fine, 1 faults or failing claims, 2 unreadable or misused.

    `arguments` default to those of the process. Misuse ends in SystemExit with code 2, as argparse has it.
    """
    options = parser().parse_args(arguments)
    try:
        code = _command(options.command)(options)
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
