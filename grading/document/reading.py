"""Reading a pattern document: its form first, then everything that it names."""

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from grading.document.faults import faults_of
from grading.document.names import name_faults
from grading.document.pattern import Pattern
from grading.errors import DocumentFaults, Fault

GREATEST_DEPTH = 40
"""How deep a document may be nested; no part of the format is deeper than ten."""


def read_pattern(data: object) -> Pattern:
    """Read a pattern document from parsed JSON.

    Raises DocumentFaults with every fault of its form, or, where the form is right, every name that leads nowhere.
    """
    if not isinstance(data, Mapping):
        raise DocumentFaults([Fault("document", "it is no object", "write a pattern document in braces")])
    frozen = _frozen(data)
    try:
        pattern = Pattern.model_validate(frozen)
    except ValidationError as error:
        raise DocumentFaults(faults_of(error, frozen)) from None
    faults = tuple(name_faults(pattern))
    if faults:
        raise DocumentFaults(faults)
    return pattern


def _frozen(value: Any, depth: int = 0) -> Any:
    """JSON arrays as tuples, since the document is immutable and read strictly."""
    if depth > GREATEST_DEPTH:
        raise DocumentFaults([Fault("document", f"it is nested more than {GREATEST_DEPTH} deep", "nest it less")])
    if isinstance(value, Mapping):
        return {key: _frozen(item, depth + 1) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return tuple(_frozen(item, depth + 1) for item in value)
    return value
