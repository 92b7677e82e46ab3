"""Where the decisions that make an input come from."""

from __future__ import annotations

import random
from typing import Any

from hypothesis import strategies as st


class Drawn:
    """Decisions of a generator of random numbers."""

    def __init__(self, generator: random.Random) -> None:
        self._generator = generator

    def below(self, bound: int) -> int:
        """A whole number from 0 to bound - 1."""
        return self._generator.randrange(bound)


class Found:
    """Decisions of Hypothesis, which looks for the smallest input that fails."""

    def __init__(self, data: st.DataObject) -> None:
        self._data = data

    def below(self, bound: int) -> int:
        """A whole number from 0 to bound - 1."""
        return self._data.draw(st.integers(0, bound - 1))


class Read:
    """Decisions read from the bytes of a fuzzer that watches which ways the program takes."""

    def __init__(self, provider: Any) -> None:
        self._provider = provider

    def below(self, bound: int) -> int:
        """A whole number from 0 to bound - 1; 0 when there are no more bytes."""
        return int(self._provider.ConsumeIntInRange(0, bound - 1))
