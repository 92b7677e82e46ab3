"""`sizewright check`: whether a pattern is sound, with every fault at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import Alignment, printable, printable_lines, table, terminal_width
from grading.errors import DocumentFaults

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterable, Mapping

    from grading.errors import Fault
    from grading.pipeline import Check

PARTS = ("dimensions", "materials", "pieces", "seams", "coverings", "contents", "findings", "rules", "sizes", "steps")
COUNTS: tuple[Alignment, ...] = ("left", "right")


def run(options: Namespace) -> int:
    """Says what the sound pattern holds, and what is worth a look; raises DocumentFaults for one that is not sound."""
    content = read_file(options.pattern)
    check = grading.check_document(content)
    if check.sound and options.json:
        print(
            to_json(
                {"name": content["name"], "faults": [], "remarks": told(check.remarks), "counts": _all(content, check)}
            )
        )
    elif check.sound:
        print(report(content["name"], _all(content, check), terminal_width()))
    if check.remarks and not options.json:
        print(printable_lines(worth_a_look(check.remarks)))
    if not check.sound:
        raise DocumentFaults(check.faults)
    return 0


def _all(content: Mapping[str, Any], check: Check) -> dict[str, int]:
    return counted(content) | {"relations": check.relations, "claims of the base size": check.claims}


def told(remarks: Iterable[Fault]) -> list[dict[str, str]]:
    """Remarks as plain data."""
    return [{"path": each.path, "problem": each.problem, "remedy": each.remedy} for each in remarks]


def worth_a_look(remarks: Iterable[Fault]) -> str:
    """The remarks, each with its place and what would be better."""
    lines = ["", "Worth a look:"]
    for each in remarks:
        lines += [f"  {each.path}: {each.problem}", f"    remedy: {each.remedy}"]
    return "\n".join(lines)


def counted(content: Mapping[str, Any]) -> dict[str, int]:
    """How many entries each part of the pattern has."""
    return {part: len(content.get(part) or ()) for part in PARTS}


def report(name: str, counts: Mapping[str, int], width: int | None) -> str:
    """The verdict on a sound pattern and what it holds."""
    rows = [[part, str(count)] for part, count in counts.items() if count]
    return f"{printable(name)}: no faults.\n\n{table(('part', 'count'), COUNTS, rows, width)}"
