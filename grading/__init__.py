"""Grades sewn bag patterns to any size, exactly, and shows that every piece still joins.

The public surface is loaded when it is first used, so that `grading.verify` runs where nothing is installed.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from grading.document.variants import batch_variant, range_variant, variant_of
    from grading.drawing_table import grade_sheets, layout_sheets, nested_sheets
    from grading.pipeline import (
        answer_document,
        chart_csv,
        chart_document,
        check_document,
        compile_document,
        conflict_document,
        cut_list_csv,
        difference,
        difference_document,
        document_schema,
        explain,
        grade_document,
        grade_size,
        grade_sizes,
        other_edition,
        prepare,
        proof_document,
        range_document,
        read_document,
        size_chart,
        size_map,
        size_range,
        solution_map,
        solve_batch,
    )
    from grading.press import booklet_of, booklet_of_all, size_papers
    from grading.workroom import (
        above_least,
        bulk_document,
        bulk_of,
        layout_picture,
        layouts_csv,
        layouts_document,
        layouts_of,
        substitution,
        substitution_document,
        supplies_csv,
        supplies_document,
        supplies_of,
    )

__all__ = [
    "above_least",
    "answer_document",
    "batch_variant",
    "booklet_of",
    "booklet_of_all",
    "bulk_document",
    "bulk_of",
    "chart_csv",
    "chart_document",
    "check_document",
    "compile_document",
    "conflict_document",
    "cut_list_csv",
    "difference",
    "difference_document",
    "document_schema",
    "explain",
    "grade_document",
    "grade_sheets",
    "grade_size",
    "grade_sizes",
    "layout_picture",
    "layout_sheets",
    "layouts_csv",
    "layouts_document",
    "layouts_of",
    "nested_sheets",
    "other_edition",
    "prepare",
    "proof_document",
    "range_document",
    "range_variant",
    "read_document",
    "size_chart",
    "size_map",
    "size_papers",
    "size_range",
    "solution_map",
    "solve_batch",
    "substitution",
    "substitution_document",
    "supplies_csv",
    "supplies_document",
    "supplies_of",
    "variant_of",
]


WORKROOM = frozenset(
    {
        "above_least",
        "bulk_document",
        "bulk_of",
        "layout_picture",
        "layouts_csv",
        "layouts_document",
        "layouts_of",
        "substitution",
        "substitution_document",
        "supplies_csv",
        "supplies_document",
        "supplies_of",
    }
)
DRAWING_TABLE = frozenset({"grade_sheets", "layout_sheets", "nested_sheets"})
PRESS = frozenset({"booklet_of", "booklet_of_all", "size_papers"})
"""What is loaded from `grading.workroom`, `.drawing_table` and `.press`; the rest comes from `grading.pipeline`."""


def __getattr__(name: str) -> Any:
    if name in WORKROOM:
        return getattr(import_module("grading.workroom"), name)
    if name in DRAWING_TABLE:
        return getattr(import_module("grading.drawing_table"), name)
    if name in PRESS:
        return getattr(import_module("grading.press"), name)
    if name in __all__:
        return getattr(import_module("grading.pipeline"), name)
    msg = f"module 'grading' has no attribute {name!r}"
    raise AttributeError(msg)


def __dir__() -> list[str]:
    return sorted(__all__)
