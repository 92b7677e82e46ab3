"""Options: which parts of a document belong to the bag that was chosen, and the document without the others."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from grading.verify.reading import choice, fields, items, joined, name, named
from grading.verify.unreadable import refuse

SECTIONS = ("dimensions", "pieces", "seams", "coverings", "contents", "findings", "rules")
# Lists of a step, and the sections whose names they hold; uses come from pieces, and from zips among the findings.
STEP_LISTS = {
    "uses": ("pieces", "findings"),
    "makes": ("seams",),
    "lays": ("coverings",),
    "finishes": ("pieces", "findings"),
    "binds": ("findings",),
}
FEWEST_CHOICES, MOST_CHOICES = 2, 20

Choices = dict[str, str]
Options = dict[str, tuple[str, ...]]


def read_options(document: object) -> tuple[Options, Choices]:
    """Return the choices of each option of a document, and the default ones."""
    known: Options = {}
    defaults: Choices = {}
    if not isinstance(document, dict):
        return known, defaults
    for title, entry, path in named(document.get("options"), "options"):
        given = fields(entry, path, ("choices",), ("default",))
        listed = [
            name(item, joined(path, f"choices.{i}"))
            for i, item in enumerate(items(given["choices"], joined(path, "choices")))
        ]
        if not FEWEST_CHOICES <= len(listed) <= MOST_CHOICES or len(set(listed)) != len(listed):
            refuse("is not a list of 2 to 20 different choices", joined(path, "choices"))
        known[title] = tuple(listed)
        defaults[title] = choice(given.get("default"), joined(path, "default"), listed, listed[0])
    return known, defaults


def chosen_options(document: object, request: object, path: str) -> Choices:
    """Return the choice of every option: what the request says, the rest as by default."""
    known, chosen = read_options(document)
    asked = request.get("options") if isinstance(request, dict) else None
    for title, item, where in named(asked, joined(path, "options")):
        if title not in known:
            refuse("is no option of the pattern", where)
        chosen[title] = choice(item, where, known[title], chosen[title])
    return chosen


def resolved(document: Any, chosen: Choices) -> Any:
    """Return the document without options: only the parts whose conditions match.

    Steps lose the names of parts that are gone, and steps that had names and have none left go too.
    """
    if not isinstance(document, dict) or document.get("options") is None:
        return document
    known, _ = read_options(document)
    result = {key: item for key, item in document.items() if key != "options"}
    for section in SECTIONS:
        if isinstance(document.get(section), dict):
            result[section] = dict(_kept_entries(document[section], section, known, chosen))
    if isinstance(result.get("pieces"), dict):
        result["pieces"] = {
            title: _kept_parts(piece, joined("pieces", title), known, chosen)
            for title, piece in result["pieces"].items()
        }
    if isinstance(document.get("steps"), list):
        kept = _kept_items(document["steps"], "steps", known, chosen)
        gone = {key: _names(document, key) - _names(result, key) for key in STEP_LISTS}
        steps = (_without(step, gone) for step in kept)
        result["steps"] = [step for step in steps if step is not None]
    return result


def _matches(entry: Any, path: str, known: Options, chosen: Choices) -> bool:
    if not isinstance(entry, dict) or entry.get("when") is None:
        return True
    where = joined(path, "when")
    if not isinstance(entry["when"], dict):
        refuse("is no object of options and choices", where)
    fits = True
    for title, item, at in named(entry["when"], where):
        if title not in known:
            refuse("is no option of the pattern", at)
        wanted = item if isinstance(item, list) else [item]
        for choice_ in wanted:
            if choice_ not in known[title]:
                refuse("is no choice of the option", at)
        fits = fits and chosen[title] in wanted
    return fits


def _plain(entry: Any) -> Any:
    return {key: item for key, item in entry.items() if key != "when"} if isinstance(entry, dict) else entry


def _kept_entries(entries: Mapping[str, Any], path: str, known: Options, chosen: Choices) -> Iterator[tuple[str, Any]]:
    for title, entry in entries.items():
        if _matches(entry, joined(path, title), known, chosen):
            yield title, _plain(entry)


def _kept_items(entries: list[Any], path: str, known: Options, chosen: Choices) -> list[Any]:
    return [_plain(entry) for index, entry in enumerate(entries) if _matches(entry, joined(path, index), known, chosen)]


def _kept_parts(piece: Any, path: str, known: Options, chosen: Choices) -> Any:
    if not isinstance(piece, dict):
        return piece
    result = dict(piece)
    for section in ("notches", "lines"):
        if isinstance(piece.get(section), dict):
            result[section] = dict(_kept_entries(piece[section], joined(path, section), known, chosen))
    if isinstance(piece.get("layers"), list):
        result["layers"] = _kept_items(piece["layers"], joined(path, "layers"), known, chosen)
    return result


def _names(document: Mapping[str, Any], key: str) -> set[str]:
    """Return the names that a step's list may hold: of pieces, their uses."""
    found: set[str] = set()
    for section in STEP_LISTS[key]:
        entries = document.get(section)
        if isinstance(entries, dict):
            found |= _uses(entries) if section == "pieces" else set(entries)
    return found


def _uses(pieces: Mapping[str, Any]) -> set[str]:
    found: set[str] = set()
    for title, piece in pieces.items():
        uses = piece.get("uses") if isinstance(piece, dict) else None
        listed = uses if isinstance(uses, list) else [title]
        names = (use.get("name") if isinstance(use, dict) else use for use in listed)
        found |= {use for use in names if isinstance(use, str)}
    return found


def _without(step: Any, gone: Mapping[str, set[str]]) -> Any:
    """Return a step without the names that are gone; None if it had names and has none left."""
    if not isinstance(step, dict):
        return step
    result, had, has = dict(step), 0, 0
    for key, missing in gone.items():
        listed = step.get(key)
        if isinstance(listed, list):
            result[key] = [item for item in listed if not _is_gone(item, missing)]
            had, has = had + len(listed), has + len(result[key])
    return None if had and not has else result


def _is_gone(item: Any, missing: set[str]) -> bool:
    return isinstance(item, str) and item.partition(".")[0] in missing
