"""Reading a pattern document: its form first, then everything that it names."""

from collections.abc import Iterator, Mapping

from pydantic import ValidationError

from grading.document.faults import faults_of
from grading.document.frozen import TooDeep, frozen
from grading.document.names import name_faults
from grading.document.options import option_faults, representative_choices, resolve, with_choices
from grading.document.pattern import Pattern
from grading.errors import DocumentFaults, Fault


def read_pattern(data: object) -> Pattern:
    """Read a pattern document from parsed JSON.

    Raises DocumentFaults with every fault of its form, or, where the form is right, every name that leads nowhere.
    """
    if not isinstance(data, Mapping):
        raise DocumentFaults([Fault("document", "it is no object", "write a pattern document in braces")])
    try:
        plain = frozen(data, "document")
    except TooDeep as error:
        raise DocumentFaults([error.fault]) from None
    try:
        pattern = Pattern.model_validate(plain)
    except ValidationError as error:
        raise DocumentFaults(faults_of(error, plain)) from None
    faults = tuple(option_faults(pattern)) or tuple(_name_faults(pattern))
    if faults:
        raise DocumentFaults(faults)
    return pattern


def _name_faults(pattern: Pattern) -> Iterator[Fault]:
    """The faults of names in each combination of options, each told once, with a combination that has it."""
    seen: set[tuple[str, str]] = set()
    for choices in representative_choices(pattern):
        for fault in name_faults(resolve(pattern, choices)):
            if (fault.path, fault.problem) not in seen:
                seen.add((fault.path, fault.problem))
                yield Fault(fault.path, fault.problem + with_choices(pattern, choices), fault.remedy)
