"""The edition of a document for the other system of measures, to be checked and sewn on its own."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from typing import Any, Literal

System = Literal["metric", "imperial"]
RULERS: Mapping[System, str] = {"metric": "1 mm", "imperial": "1/8 in"}
"""The ruler of an edition; common practice, no source."""


def other_edition(document: Mapping[str, Any], system: System) -> dict[str, Any]:
    """The same pattern for a ruler of the other system, as plain data; one of this system is copied unchanged.

    Lengths stay as they are written, and stock is by its nominal pairs. The new edition is drafted, since nothing has
    been sewn from its measures; the errata of the other one, and rulers that sizes name, are left out.
    """
    copied = deepcopy(dict(document))
    edition = dict(copied.get("edition") or {})
    if edition.get("system", "metric") == system:
        return copied
    edition.pop("errata", None)
    copied["ruler"] = RULERS[system]
    copied["edition"] = {**edition, "system": system, "state": "drafted"}
    if copied.get("sizes"):
        copied["sizes"] = {
            name: {key: value for key, value in request.items() if key != "ruler"}
            for name, request in copied["sizes"].items()
        }
    return copied
