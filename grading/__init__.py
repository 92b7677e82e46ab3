"""Grades sewn bag patterns to any size, exactly, and shows that every piece still joins.

The public surface is loaded when it is first used, so that `grading.verify` runs where nothing is installed.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from grading.pipeline import (
        check_document,
        compile_document,
        cut_list_csv,
        document_schema,
        grade_document,
        grade_size,
        proof_document,
        read_document,
    )

__all__ = [
    "check_document",
    "compile_document",
    "cut_list_csv",
    "document_schema",
    "grade_document",
    "grade_size",
    "proof_document",
    "read_document",
]


def __getattr__(name: str) -> Any:
    if name in __all__:
        return getattr(import_module("grading.pipeline"), name)
    msg = f"module 'grading' has no attribute {name!r}"
    raise AttributeError(msg)


def __dir__() -> list[str]:
    return sorted(__all__)
