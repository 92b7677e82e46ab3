"""`python -m api.sheets PATTERN.json --size mini --paper A4 --out FOLDER`: templates without a server."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from api.command import main as command

if TYPE_CHECKING:
    from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs the command `sheets` with the arguments of the process, or these."""
    return command(["sheets", *(sys.argv[1:] if arguments is None else arguments)])


if __name__ == "__main__":
    sys.exit(main())
