"""Who asks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Caller:
    """Who asks: a key of a workshop, or an order form's token, which is bound to one pattern.

    `name` is the public part of the key or token. `form` and `pattern` are None for a key; `origins` are the places
    whose pages may use the token, empty for a key.
    """

    name: str
    workshop: str
    scopes: frozenset[str]
    expires_at: datetime | None = None
    form: str | None = None
    pattern: str | None = None
    origins: tuple[str, ...] = ()

    def may_see(self, pattern: str) -> bool:
        """Whether what is of this pattern may be shown: a form's token shows its own pattern only."""
        return self.pattern is None or self.pattern == pattern
