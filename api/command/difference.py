"""`sizewright difference`: what changes from one state of a pattern to another, size by size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import read_file, to_json
from api.command.tables import printable

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator, Mapping, Sequence

PARTS = {"pieces": "piece", "seams": "seam", "coverings": "laid over", "findings": "finding"}
LISTS = {"asked": "asked", "dimensions": "dimension"}


def run(options: Namespace) -> int:
    """Prints the difference as text or as JSON."""
    old, new = (grading.read_document(read_file(name)) for name in (options.old, options.new))
    found = grading.difference_document(grading.difference(old, new))
    print(to_json(found) if options.json else report(found))
    return 0


def report(difference: Mapping[str, Any]) -> str:
    """The difference in one line, then each size that changes with everything that does."""
    names = dict.fromkeys(printable(difference[side]["pattern"]) for side in ("old", "new"))
    parts = [f"{' and '.join(names)}: {printable(difference['says'])}"]
    for key, says in (("only_old", "no more"), ("only_new", "new")):
        parts += [f"{_words(name)}: {says}" for name in difference[key]]
    parts += ["\n".join([f"{_words(size['name'])}:", *_lines(size)]) for size in difference["sizes"]]
    return "\n\n".join(parts)


def _lines(size: Mapping[str, Any]) -> Iterator[str]:
    refused = [(when, size["refused"][when]) for when in ("before", "after") if size["refused"][when] is not None]
    for when, why in refused:
        yield f"  cannot be made {when}: {printable(why['says'])}"
    if not refused and not size["changed"]:
        yield "  no change"
    for key, word in LISTS.items():
        yield from (f"  {word} {line}" for line in _changes(size[key]))
    for key, word in PARTS.items():
        for part in size[key]:
            head = f"  {word} {_words(part['name'])}"
            if part["kind"] == "changed":
                yield head
                yield from (f"    {line}" for line in _changes(part["changes"]))
            else:
                yield f"{head}: {part['kind']}"
    for step in size["steps"]:
        yield f"  {step['what']}"
        yield from (
            f"    {sign} {printable(step[side])}" for sign, side in (("-", "before"), ("+", "after")) if step[side]
        )


def _changes(changes: Sequence[Mapping[str, Any]]) -> list[str]:
    """A line for each change; measures that change alike share one."""
    alike: dict[tuple[str | None, ...], list[str]] = {}
    for change in changes:
        alike.setdefault((change["before"], change["after"], change["by"]), []).append(_words(change["what"]))
    return [f"{', '.join(names)}: {_from_to(*key)}" for key, names in alike.items()]


def _from_to(before: str | None, after: str | None, by: str | None) -> str:
    if before is None or after is None:
        return f"{printable(after or '')}, new" if before is None else f"{printable(before)}, no more"
    return f"{printable(before)} → {printable(after)}" + (f" ({by})" if by else "")


def _words(name: str) -> str:
    return printable(name.replace("_", " "))
