"""Errors as they may be written down: by their types and the places they came through, without what was sent.

What an exception says of itself often quotes the value that it is about, which may be a customer's.
"""

from __future__ import annotations

import traceback

MOST_CAUSES = 5
MOST_TEXT = 4000


def traced(error: BaseException, trusted: tuple[type[BaseException], ...] = ()) -> list[str]:
    """Lines for an error and then its causes: each one's type, and the places it came through, the innermost last.

    The text is kept of errors of `trusted` types, and of errors of the system what the system calls them.
    """
    lines: list[str] = []
    cause: BaseException | None = error
    for _ in range(MOST_CAUSES):
        if cause is None:
            break
        lines.append(_named(cause, trusted))
        lines += [
            f"{frame.filename}:{frame.lineno} {frame.name}" for frame in traceback.extract_tb(cause.__traceback__)
        ]
        cause = cause.__cause__ or (None if cause.__suppress_context__ else cause.__context__)
    return lines


def _named(error: BaseException, trusted: tuple[type[BaseException], ...]) -> str:
    kind = type(error).__qualname__ if type(error).__module__ == "builtins" else _full_name(type(error))
    if isinstance(error, OSError) and error.strerror:
        return f"{kind}: {error.strerror}"
    return f"{kind}: {str(error)[:MOST_TEXT]}" if isinstance(error, trusted) else kind


def _full_name(kind: type[BaseException]) -> str:
    return f"{kind.__module__}.{kind.__qualname__}"
