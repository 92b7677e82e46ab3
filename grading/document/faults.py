"""Faults of a document's form, each with its path, what is wrong and what would be right."""

from collections.abc import Iterable, Iterator
from typing import Any

from pydantic import ValidationError

from grading.errors import Fault

_REMEDIES = {
    "missing": "add it",
    "extra_forbidden": "take it out, or correct its name",
    "string_type": "write a text in quotes",
    "int_type": "write a whole number",
    "bool_type": "write true or false",
    "dict_type": "write an object in braces",
    "model_type": "write an object in braces",
    "tuple_type": "write a list in brackets",
    "literal_error": "write one of the values named",
    "finite_number": "write an ordinary number",
}
_PROBLEMS = {
    "missing": "it is missing",
    "extra_forbidden": "no such field is known here",
}
_TAGS = frozenset(
    {"text", "edge", "line", "path", "object", "opening", "str", "int", "float", "AtLeast", "Corners", "NamedUse"}
)


def faults_of(error: ValidationError, root: str = "") -> tuple[Fault, ...]:
    """All faults of a document's form, one for each place."""
    by_place: dict[str, Fault] = {}
    for item in error.errors(include_url=False):
        path = ".".join((*([root] if root else []), *_steps(item["loc"], item["type"]))) or "document"
        context: dict[str, Any] = item.get("ctx") or {}
        problem = context.get("problem") or _PROBLEMS.get(item["type"]) or f"{item['msg'][:1].lower()}{item['msg'][1:]}"
        remedy = context.get("remedy") or _REMEDIES.get(item["type"], "see the description of this field")
        by_place.setdefault(path, Fault(path, str(problem)[:400], str(remedy)))
    return tuple(fault for path, fault in by_place.items() if not _follows_from_parts(path, fault, by_place))


def _follows_from_parts(path: str, fault: Fault, all_faults: Iterable[str]) -> bool:
    """A list with a broken item also counts as too short; only the item is worth telling."""
    return "after validation" in fault.problem and any(other.startswith(f"{path}.") for other in all_faults)


def _steps(location: tuple[int | str, ...], kind: str) -> Iterator[str]:
    for place, step in enumerate(location):
        text = str(step)
        last = place == len(location) - 1
        is_tag = place > 0 and (
            (text in _TAGS and not (last and kind in {"missing", "extra_forbidden"}))
            or "[" in text
            or _names_its_own_shape(location, place)
        )
        if not is_tag:
            yield text[:80]


def _names_its_own_shape(location: tuple[int | str, ...], place: int) -> bool:
    """Outlines are told apart by their key, so that pydantic names the shape twice."""
    return location[place - 1] == "outline" and place + 1 < len(location)
