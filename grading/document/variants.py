"""What a size is asked of: the request behind a name, and the variant of a pattern that its options and ruler make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from grading.document.numbers import GREATEST_RULER, LEAST_RULER
from grading.document.options import choice_faults, full_choices, resolve
from grading.document.pattern import Pattern
from grading.document.requests import BASE, SizeRequest, read_request
from grading.errors import Fault, RequestFaults
from grading.exact import Ruler, print_length, read_length, read_ruler

BASE_SIZE = "base"


@dataclass(frozen=True)
class Variant:
    """What sizes must share to share what is prepared: the choice of every option, and the ruler."""

    choices: tuple[tuple[str, str], ...]
    ruler: Ruler


def own_ruler(pattern: Pattern) -> Ruler:
    """The ruler that a pattern is written for."""
    return read_ruler(pattern.ruler, pattern.unit)


def ruler_of(pattern: Pattern, request: SizeRequest) -> Ruler:
    """The ruler that a request is graded on. Raises RequestFaults for one that no ruler has."""
    if request.ruler is None:
        return own_ruler(pattern)
    step = read_length(request.ruler, pattern.unit)
    if not LEAST_RULER <= step <= GREATEST_RULER:
        raise RequestFaults(
            [
                Fault(
                    "request.ruler",
                    f"{print_length(step)} is no step of a ruler",
                    f"give one from {print_length(LEAST_RULER)} to {print_length(GREATEST_RULER)}",
                )
            ]
        )
    return read_ruler(request.ruler, pattern.unit)


def find_request(
    pattern: Pattern, size: str | None = None, request: Mapping[str, Any] | None = None
) -> tuple[str | None, SizeRequest]:
    """The request that a named size, or a request written out, stands for. Raises RequestFaults."""
    if (size is None) == (request is None):
        raise RequestFaults([Fault("request", "it names a size and a request, or neither", "give one of the two")])
    if request is not None:
        return None, read_request(request)
    if size == BASE_SIZE:
        return size, BASE
    if size not in pattern.sizes:
        known = ", ".join((BASE_SIZE, *pattern.sizes))
        raise RequestFaults([Fault("size", f"no size is named {size!r}", f"the pattern has {known}")])
    return size, pattern.sizes[size]


def resolved(document: Pattern, request: SizeRequest) -> Pattern:
    """The pattern that is left by a request's choice of options. Raises RequestFaults."""
    chosen = request.options or {}
    faults = tuple(choice_faults(document, chosen.items(), "request.options"))
    if faults:
        raise RequestFaults(faults)
    return resolve(document, chosen)


def variant_of(document: Pattern, size: str | None = None, request: Mapping[str, Any] | None = None) -> Variant:
    """Which variant of a pattern a size is graded in. Raises RequestFaults."""
    _, wanted = find_request(document, size, request)
    resolved(document, wanted)
    choices = full_choices(document, wanted.options or {})
    return Variant(tuple(choices.items()), ruler_of(document, wanted))


def batch_variant(document: Pattern, options: Mapping[str, str] | None = None) -> Variant:
    """Which variant of a pattern a batch is solved in: these options, the others as usual. Raises RequestFaults."""
    return range_variant(document, options)


def range_variant(document: Pattern, options: Mapping[str, str] | None = None, ruler: Any = None) -> Variant:
    """Which variant of a pattern a range is judged in: these options, this ruler or its own. Raises RequestFaults."""
    try:
        asked = {"scale": 1, "options": dict(options or {})} | ({} if ruler is None else {"ruler": ruler})
        return variant_of(document, request=asked)
    except RequestFaults as refused:
        faults = (replace(fault, path=fault.path.removeprefix("request.")) for fault in refused.faults)
        raise RequestFaults(faults) from None
