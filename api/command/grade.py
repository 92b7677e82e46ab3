"""`sizewright grade`: a pattern in one size, with its cut list."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json, write_json
from api.command.request import asked
from api.command.tables import Alignment, printable, table, terminal_width

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping, Sequence

    from grading.grade import Grade

CUT_LIST: tuple[tuple[str, Alignment], ...] = (
    ("", "left"),
    ("piece", "left"),
    ("material", "left"),
    ("count", "right"),
    ("across", "right"),
    ("along", "right"),
    ("finished", "right"),
    ("notes", "left"),
)
FINDINGS: tuple[tuple[str, Alignment], ...] = (
    ("finding", "left"),
    ("kind", "left"),
    ("count", "right"),
    ("width", "right"),
    ("length", "right"),
    ("from stock", "right"),
)


def run(options: Namespace) -> int:
    """Grades the pattern; prints the cut list, or the grade as JSON; writes the grade where asked."""
    content = read_file(options.pattern)
    document = grading.read_document(content)
    size, request = asked(options, content)
    graded = grading.grade_size(document, size=size, request=request)
    grade = grading.grade_document(graded)
    if options.output is not None:
        write_json(options.output, grade)
    print(to_json(grade) if options.json else report(grade, terminal_width(), why(graded)))
    if options.output is not None and not options.json:
        print(f"\nThe grade is in {options.output}")
    return 0


def why(grade: Grade) -> list[str]:
    """A sentence for each dimension that is not given as wished; what only the ruler moved shares one."""
    answers = grading.explain(grade).differing
    moved = [f"{answer.name} {grade.model.ruler.text(answer.given)}" for answer in answers if not answer.is_held]
    told = [answer.says for answer in answers if answer.is_held]
    return [*told, *([f"moved only to lie on the ruler: {', '.join(moved)}"] if moved else [])]


def report(grade: Mapping[str, Any], width: int | None, differing: Sequence[str] = ()) -> str:
    """The cut list, the findings, what was altered and what differs from the wish; tables at most `width` wide."""
    name = grade["size"]["name"] or "as asked"
    parts = [
        f"{printable(grade['pattern'])}, {printable(name)}, on a ruler of {grade['ruler']}",
        _table(CUT_LIST, [_cut(row) for row in grade["cut_list"]], width),
    ]
    if grade["findings"]:
        parts.append(_table(FINDINGS, [_finding(row) for row in grade["findings"]], width))
    if grade["altered"]:
        changed = [f"  {row['path']}: {row['from']} became {row['to']}" for row in grade["altered"]]
        parts.append("\n".join(["Put on the ruler:", *(printable(line) for line in changed)]))
    if differing:
        parts.append("\n".join(["Not as wished:", *(f"  {printable(line)}" for line in differing)]))
    return "\n\n".join(parts)


def _table(columns: tuple[tuple[str, Alignment], ...], rows: list[list[str]], width: int | None) -> str:
    return table([heading for heading, _ in columns], [side for _, side in columns], rows, width)


def _cut(row: Mapping[str, Any]) -> list[str]:
    count = str(row["count"]) + (f" + {row['mirrored']} mirrored" if row["mirrored"] else "")
    finished = f"{row['finished']['across']} × {row['finished']['along']}"
    return [
        row["letter"],
        _words(row["piece"]),
        _words(row["material"]) + ("" if row["layer"] == row["material"] else f" ({_words(row['layer'])})"),
        count,
        row["across"],
        row["along"],
        finished,
        "; ".join(_notes(row)),
    ]


def _notes(row: Mapping[str, Any]) -> list[str]:
    notes = ["template"] if row["kind"] == "template" else []
    if row["grain"] == "bias":
        notes.append("on the bias")
    if row["trim"]:
        notes.append(f"trim to {row['trim']['across']} × {row['trim']['along']}")
    if row["on_fold"]:
        notes.append(f"on the fold {row['on_fold']['across']} × {row['on_fold']['along']}")
    if row["strips"]:
        notes.append(f"{row['strips']['count']} strips, {row['strips']['total']} in all")
    return notes


def _finding(row: Mapping[str, Any]) -> list[str]:
    measures = [row["width"] or "", row["length"] or "", row["stock"] or ""]
    return [_words(row["name"]), _words(row["kind"]), str(row["count"]), *measures]


def _words(name: str) -> str:
    return name.replace("_", " ")
