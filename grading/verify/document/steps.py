"""Steps: what a maker does, in order, and which pieces, seams, coverings and findings each step is about."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from grading.verify.document.sides import Use
from grading.verify.reading import choice, fields, items, joined, name, pair_of_names, text
from grading.verify.unreadable import refuse

ACTIONS = (
    "fuse",
    "quilt",
    "trim",
    "tack",
    "sew",
    "leave open",
    "turn",
    "close",
    "clip",
    "bind",
    "topstitch",
    "cut",
    "mark",
    "press",
)


@dataclass(frozen=True)
class Step:
    """One step; `parts` are its text cut into words (even places) and measures (odd places)."""

    parts: tuple[str, ...]
    uses: tuple[str, ...]
    makes: tuple[str, ...]
    lays: tuple[str, ...]
    finishes: tuple[tuple[str, str], ...]
    binds: tuple[str, ...]


def read_step(
    value: object,
    path: str,
    uses: Mapping[str, Use],
    seams: Collection[str],
    coverings: Collection[str],
    findings: Collection[str],
) -> Step:
    """Return one step; what it names must exist."""
    given = fields(value, path, ("text", "action"), ("uses", "makes", "lays", "finishes", "binds"))
    choice(given["action"], joined(path, "action"), ACTIONS, "")

    def names(key: str, known: Collection[str]) -> tuple[str, ...]:
        found = []
        for index, item in enumerate(items(given.get(key), joined(path, key))):
            where = joined(joined(path, key), index)
            found.append(name(item, where))
            if found[-1] not in known:
                refuse("names nothing that the pattern has", where)
        return tuple(found)

    finished = []
    for index, item in enumerate(items(given.get("finishes"), joined(path, "finishes"))):
        where = joined(joined(path, "finishes"), index)
        use, edge = pair_of_names(item, where)
        if use not in uses or edge not in uses[use].outline.edges:
            refuse("names no edge of a use", where)
        finished.append((use, edge))
    return Step(
        text_parts(text(given["text"], joined(path, "text")), joined(path, "text")),
        names("uses", {*uses, *findings}),
        names("makes", seams),
        names("lays", coverings),
        tuple(finished),
        names("binds", findings),
    )


def text_parts(words: str, path: str) -> tuple[str, ...]:
    """Return the text cut at its measures: words and measures in turn; doubled braces are braces."""
    parts, position = [""], 0
    while position < len(words):
        two, one = words[position : position + 2], words[position]
        if two in {"{{", "}}"}:
            parts[-1] += one
            position += 2
        elif one == "{":
            end = words.find("}", position)
            if end < 0:
                refuse("opens a brace that it does not close", path)
            parts += [words[position + 1 : end].strip(), ""]
            position = end + 1
        elif one == "}":
            refuse("closes a brace that it did not open", path)
        else:
            parts[-1] += one
            position += 1
    return tuple(parts)
