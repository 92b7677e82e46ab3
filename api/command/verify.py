"""`sizewright verify`: a grade judged by the independent verifier."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.command.files import Unreadable, read_file, to_json
from api.command.tables import Alignment, printable, table, terminal_width
from grading import verify

if TYPE_CHECKING:
    from argparse import Namespace

    from grading.verify import Verdict

COUNTS: tuple[Alignment, ...] = ("left", "right", "right")


def run(options: Namespace) -> int:
    """Says which claims of the grade hold; gives 0 when all of them do, else 1."""
    pattern, grade = read_file(options.pattern), read_file(options.grade)
    try:
        verdict = verify.judge(pattern, grade)
    except verify.UnreadableInput as error:
        raise Unreadable(f"{options.grade} cannot be judged against {options.pattern}: {error}") from error
    print(to_json(verdict.to_json()) if options.json else report(verdict, terminal_width()))
    return 0 if verdict.holds else 1


def report(verdict: Verdict, width: int | None) -> str:
    """How many claims of each kind hold, then each failing claim with both numbers, then the sum."""
    failing = [claim.kind for claim in verdict.failing]
    rows = [[kind, str(count), str(count - failing.count(kind))] for kind, count in verdict.counts_by_kind.items()]
    parts = [table(("claims about", "made", "hold"), COUNTS, rows, width)]
    if failing:
        lines = [f"  {claim.about}: {claim.says}" for claim in verdict.failing]
        parts.append("\n".join(["These do not hold:", *(printable(line) for line in lines)]))
    made = len(verdict.claims)
    parts.append(f"{made - len(failing)} of {made} claims hold.\n{verify.CLOSING}")
    return "\n\n".join(parts)
