"""The one error of the verifier: input about which nothing can be judged."""

from __future__ import annotations

from typing import NoReturn


class UnreadableInput(Exception):
    """The pattern, the grade or the measured pieces cannot be read; `path` is where, `message` is why."""

    def __init__(self, message: str, path: str = "") -> None:
        super().__init__(f"{path}: {message}" if path else message)
        self.message = message
        self.path = path


def refuse(message: str, path: str = "") -> NoReturn:
    """Raise `UnreadableInput`; a call reads better than a raise inside an expression."""
    raise UnreadableInput(message, path)
