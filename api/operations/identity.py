"""Names by content: the same document in the same pattern has the same name, and says nothing elsewhere.

A bare hash of a document would tell one workshop what another has stored, so its pattern and its workshop
are hashed along.
"""

from __future__ import annotations

import json
from hashlib import sha256
from typing import Any


def written(value: Any) -> str:
    """A JSON value as text, the order of its names kept: the order of pieces and stock values has a meaning."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def revision_name(workshop: str, pattern: str, document: str) -> str:
    """The name of a revision by its document."""
    return _digest("revision", workshop, pattern, document)


def grade_name(workshop: str, revision: str, engine: str, request: str) -> str:
    """The name of a grade by everything that it is made from; `request` as `written`, names sorted."""
    return _digest("grade", workshop, revision, engine, request)


def layouts_name(workshop: str, grade: str, document: str) -> str:
    """The name of layouts by what they are: what is found in a given time is no function of what was asked."""
    return _digest("layouts", workshop, grade, document)


def _digest(*parts: str) -> str:
    # Lengths keep apart what would otherwise read alike when joined.
    return sha256("".join(f"{len(part.encode())}:{part}" for part in parts).encode()).hexdigest()
