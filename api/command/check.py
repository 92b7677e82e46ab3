"""`sizewright check`: whether a pattern is sound, with every fault at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import Alignment, printable, table, terminal_width
from grading.errors import DocumentFaults

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

PARTS = ("dimensions", "materials", "pieces", "seams", "coverings", "contents", "findings", "rules", "sizes", "steps")
COUNTS: tuple[Alignment, ...] = ("left", "right")


def run(options: Namespace) -> int:
    """Says what the sound pattern holds; raises DocumentFaults, for the command to list, for one that is not."""
    content = read_file(options.pattern)
    check = grading.check_document(content)
    if not check.sound:
        raise DocumentFaults(check.faults)
    counts = counted(content) | {"relations": check.relations, "claims of the base size": check.claims}
    if options.json:
        print(to_json({"name": content["name"], "faults": [], "counts": counts}))
    else:
        print(report(content["name"], counts, terminal_width()))
    return 0


def counted(content: Mapping[str, Any]) -> dict[str, int]:
    """How many entries each part of the pattern has."""
    return {part: len(content.get(part) or ()) for part in PARTS}


def report(name: str, counts: Mapping[str, int], width: int | None) -> str:
    """The verdict on a sound pattern and what it holds."""
    rows = [[part, str(count)] for part, count in counts.items() if count]
    return f"{printable(name)}: no faults.\n\n{table(('part', 'count'), COUNTS, rows, width)}"
