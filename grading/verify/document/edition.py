"""Editions: how far a pattern has come, which every grade tells, and what was found wrong in its copies."""

from __future__ import annotations

from collections.abc import Collection

from grading.verify.document.requests import BASE_SIZE
from grading.verify.reading import choice, fields, items, joined, text
from grading.verify.unreadable import refuse

SYSTEMS = ("metric", "imperial")
STATES = ("drafted", "sewn", "in testing", "published")
# What is said of a size that nobody has sewn.
NOT_SEWN = "calculated, not yet sewn"


def read_state(value: object, sizes: object) -> str:
    """Return the state that grades of an edition tell; its other fields are for people."""
    known = ("system", "state", "licence", "skills", "time", "errata")
    given = {} if value is None else fields(value, "edition", (), known)
    choice(given.get("system"), "edition.system", SYSTEMS, SYSTEMS[0])
    state = choice(given.get("state"), "edition.state", STATES, STATES[0])
    for index, entry in enumerate(items(given.get("errata"), "edition.errata")):
        _erratum(entry, joined("edition.errata", index), sizes if isinstance(sizes, dict) else ())
    return NOT_SEWN if state == STATES[0] else state


def _erratum(value: object, path: str, sizes: Collection[str]) -> None:
    given = fields(value, path, ("says",), ("size", "since"))
    text(given.get("since", ""), joined(path, "since"))
    size = given.get("size", BASE_SIZE)
    if size != BASE_SIZE and (not isinstance(size, str) or size not in sizes):
        refuse("is no size of the pattern", joined(path, "size"))
