"""Rectangles packed on a strip of cloth: searches, strips for a rotary cutter, and how little could do."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules


def warm() -> None:
    """Load every module, so that no request waits for a kernel: they compile, or come from disk, as modules load."""
    for module in iter_modules(__path__, f"{__name__}."):
        import_module(module.name)
