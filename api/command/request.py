"""The size that a command line asks for, as a size request."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from api.command.arguments import OTHERS
from grading.errors import Fault, RequestFaults

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

BASE = {"scale": 1}
BARE_NUMBER = re.compile(r"-?\d{1,15}(\.\d{1,15})?", re.ASCII)


def asked(options: Namespace, document: Mapping[str, Any]) -> tuple[str | None, dict[str, Any] | None]:
    """The name of a size, or a size request; exactly one of the two is not None.

    A named size with a ruler of its own is no longer the named one: it becomes the request that the pattern
    has under that name, with the ruler changed. Raises RequestFaults for options that do not go together.
    """
    _coherent(options)
    if options.size is not None and options.ruler is None:
        return options.size, None
    if options.size is not None:
        return None, {**_named(options.size, document), "ruler": value(options.ruler)}
    request: dict[str, Any] = {"scale": options.scale} if options.scale is not None else _set(options)
    if options.ruler is not None:
        request["ruler"] = value(options.ruler)
    return None, request


def _set(options: Namespace) -> dict[str, Any]:
    request: dict[str, Any] = {"set": {name: value(length) for name, length in options.set}}
    if options.others is not None:
        request["others"] = OTHERS[options.others]
    return request


def _named(size: str, document: Mapping[str, Any]) -> dict[str, Any]:
    sizes = {"base": BASE, **document.get("sizes", {})}
    if size not in sizes:
        raise RequestFaults([Fault("size", f"the pattern has no size {size}", f"one of: {', '.join(sizes)}")])
    return dict(sizes[size])


def _coherent(options: Namespace) -> None:
    faults = []
    if options.others is not None and not options.set:
        faults.append(Fault("--others", "it says how to size what --set leaves open, without a --set", "leave it out"))
    names = [name for name, _ in options.set or ()]
    faults += [
        Fault(f"--set {name}", "it is set more than once", "keep one of them")
        for name in dict.fromkeys(names)
        if names.count(name) > 1
    ]
    if faults:
        raise RequestFaults(faults)


def value(length: str) -> str | int | float:
    """A bare number is one in the pattern's unit, as in a document; everything else is left as text."""
    if not BARE_NUMBER.fullmatch(length):
        return length
    return float(length) if "." in length else int(length)
