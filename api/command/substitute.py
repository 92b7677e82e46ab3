"""`sizewright substitute`: other cloths, split pieces, mesh or a toile, and what that comes to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command import difference
from api.command.files import Unreadable, read_file, to_json, write_json
from api.command.tables import Alignment, printable, table, terminal_width
from grading.errors import Conflict, Fault, PieceDoesNotFit, RequestFaults, RulerOutOfReach

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping, Sequence

COLUMNS: tuple[tuple[str, Alignment], ...] = (
    ("cloth", "left"),
    ("before", "right"),
    ("after", "right"),
    ("by", "right"),
    ("cost by", "right"),
)
EFFORT = {"effort": "quick"}


def run(options: Namespace) -> int:
    """Prints what the changes do to the sizes, and to the cloth that one size needs; writes the new document."""
    document = read_file(options.pattern)
    changes = read_file(options.changes).get("changes")
    if changes is None:
        raise Unreadable(f'{options.changes} has no "changes": write {{"changes": [...]}}.')
    found = grading.substitution(document, changes)
    if options.size not in {"base", *document.get("sizes", {})}:
        known = ", ".join(("base", *document.get("sizes", {})))
        raise RequestFaults([Fault("size", f"no size is named {options.size!r}", f"the pattern has {known}")])
    sides = (None, None) if options.without_cloth else (document, found.made.document)
    before, after = (None if side is None else _layouts(side, options.size) for side in sides)
    told = grading.substitution_document(found, options.size, before, after)
    if options.out is not None:
        write_json(options.out, told["document"])
    print(to_json(told) if options.json else report(told, terminal_width()))
    return 0


def _layouts(document: Mapping[str, Any], size: str) -> dict[str, Any] | None:
    """The layouts of a size; None where it cannot be made, or its pieces do not fit on their cloths."""
    try:
        grade = grading.grade_size(grading.read_document(document), size=size)
        return grading.layouts_document(grading.layouts_of(grade, EFFORT))
    except (Conflict, PieceDoesNotFit, RulerOutOfReach):
        return None


def report(told: Mapping[str, Any], width: int | None) -> str:
    """What was changed, then every size that changes by it, then the cloths of one size."""
    parts = ["\n".join([f"{printable(told['pattern'])}:", *(f"  {printable(each)}" for each in told["changes"])])]
    parts.append(difference.report(told["difference"]))
    if told["cloths"]:
        rows = [_row(cloth) for cloth in told["cloths"]]
        headings, sides = zip(*COLUMNS, strict=True)
        parts.append(f"Cloth to buy for the size {told['size']}:\n{table(headings, sides, rows, width)}")
    return "\n\n".join(parts)


def _row(cloth: Mapping[str, Any]) -> Sequence[str]:
    cost = cloth.get("cost_by")
    said = "" if cost is None else f"{cost['amount']} {cost['currency']}"
    return [cloth["material"], *(cloth[key] or "-" for key in ("before", "after", "by")), said]
