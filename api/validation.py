"""What is wrong with an envelope or a parameter, in words that say what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from api.schemas.problems import Fault

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

SEE = "The description of the interface, /openapi.json, says what can stand here."
# How pydantic's messages begin, and what is said instead: the problem and the remedy.
WORDS = (
    ("Field required", "This field is missing.", "Add it."),
    ("Extra inputs", "No such field is known here.", "Leave it out, or correct its name."),
    ("Input should be a valid dictionary", "This is no object.", "Write an object in braces."),
    ("Input should be a valid string", "This is no text.", "Write a text in quotes."),
    ("String should match pattern", "This name is not written as such names are.", SEE),
)
OWN = "Value error, "


def faults_of(entries: Iterable[Mapping[str, Any]]) -> list[Fault]:
    """A fault for each entry of Litestar's list of what did not validate."""
    return [_fault(entry) for entry in entries]


def _fault(entry: Mapping[str, Any]) -> Fault:
    source = entry.get("source")
    where = "" if source in (None, "body") else f"{source.value}."
    key = str(entry.get("key", "")).removeprefix("data") or "$"
    problem, remedy = _words(str(entry.get("message", "This cannot be used.")))
    return Fault(path=f"{where}{key}", problem=problem, remedy=remedy)


def _words(message: str) -> tuple[str, str]:
    if message.startswith(OWN):
        return message.removeprefix(OWN), SEE
    known = next(((problem, remedy) for start, problem, remedy in WORDS if message.startswith(start)), None)
    return known or (f"{message}.", SEE)
