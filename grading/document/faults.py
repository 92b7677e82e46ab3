"""Faults of a document's form, each with its path, what is wrong and what would be right."""

from collections.abc import Iterable, Iterator, Mapping
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
_TELLING = frozenset({"sizewright", "finite_number"})
"""Of several types that were tried, what these say is what is wrong."""
_NUMBER_TYPES = frozenset({"int_type", "float_type"})
_PROBLEMS = {
    "missing": "it is missing",
    "extra_forbidden": "no such field is known here",
}


def faults_of(error: ValidationError, data: Any, root: str = "") -> tuple[Fault, ...]:
    """All faults of a document's form, one for each place; `data` is what was read."""
    by_place: dict[str, Fault] = {}
    for item in error.errors(include_url=False):
        path = ".".join((*([root] if root else []), *_steps(item["loc"], item["type"], data))) or "document"
        context: dict[str, Any] = item.get("ctx") or {}
        problem = context.get("problem") or _PROBLEMS.get(item["type"]) or f"{item['msg'][:1].lower()}{item['msg'][1:]}"
        remedy = context.get("remedy") or _REMEDIES.get(item["type"], "see the description of this field")
        here = Fault(path, str(problem)[:400], str(remedy))
        earlier = by_place.setdefault(path, here)
        if item["type"] in _TELLING:
            by_place[path] = here
        elif earlier != here and item["type"] in _NUMBER_TYPES and earlier.remedy == _REMEDIES["string_type"]:
            by_place[path] = Fault(
                path, "it is neither a text nor a number", "write a length, in quotes or as a number"
            )
    return tuple(fault for path, fault in by_place.items() if not _follows_from_parts(path, fault, by_place))


def _follows_from_parts(path: str, fault: Fault, all_faults: Iterable[str]) -> bool:
    """A list with a broken item also counts as too short; only the item is worth telling."""
    return "after validation" in fault.problem and any(other.startswith(f"{path}.") for other in all_faults)


def _steps(location: tuple[int | str, ...], kind: str, data: Any) -> Iterator[str]:
    """The steps of a location that lead through the document; the others name types that were tried."""
    value = data
    for place, step in enumerate(location):
        if _names_a_shape(location, place):
            continue
        if isinstance(value, Mapping):
            found = step in value
        else:
            found = isinstance(value, list | tuple) and isinstance(step, int) and step < len(value)
        is_absent = kind in {"missing", "extra_forbidden"} and place == len(location) - 1
        if found or is_absent:
            yield str(step)[:80]
        if found:
            value = value[step]


def _names_a_shape(location: tuple[int | str, ...], place: int) -> bool:
    """Whether the step is the kind of an outline, a content or an entry of a side, as the reader tells them apart."""
    if location[0] == "contents":
        return place == 2
    if location[0] == "pieces":
        return place == 3 and location[2] == "outline"
    return place > 1 and location[place - 2] in {"join", "to", "along"} and isinstance(location[place - 1], int)
