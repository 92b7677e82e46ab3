"""`sizewright verify`: a grade judged by the independent verifier."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.command.files import Unreadable, read_file, to_json
from api.command.tables import printable_lines
from grading import verify

if TYPE_CHECKING:
    from argparse import Namespace


def run(options: Namespace) -> int:
    """Says which claims of the grade hold; gives 0 when all of them do, else 1."""
    pattern, grade = read_file(options.pattern), read_file(options.grade)
    try:
        verdict = verify.judge(pattern, grade)
    except verify.UnreadableInput as error:
        raise Unreadable(f"{options.pattern} and {options.grade} cannot be judged: {error}") from error
    print(to_json(verdict.to_json()) if options.json else printable_lines(verdict.report()))
    return 0 if verdict.holds else 1
