"""Variables of the environment, read one by one, with a memory of those that were asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

PREFIX = "SIZEWRIGHT_"


class Environment(Mapping[str, str]):
    """The variables of an environment; it remembers the names that were looked up, so that the others are known."""

    def __init__(self, given: Mapping[str, str]) -> None:
        self._given = given
        self._known: set[str] = set()

    def __getitem__(self, name: str) -> str:
        self._known.add(name)
        return self._given[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._given)

    def __len__(self) -> int:
        return len(self._given)

    def fault(self) -> str | None:
        """What is wrong with the first variable of our own that nothing has looked up; None where there is none."""
        strange = sorted(name for name in self._given if name.startswith(PREFIX) and name not in self._known)
        if not strange:
            return None
        near = get_close_matches(strange[0], self._known, n=1, cutoff=0)
        return (
            f"{strange[0]} is not known; {near[0]} is the nearest that is." if near else f"{strange[0]} is not known."
        )
