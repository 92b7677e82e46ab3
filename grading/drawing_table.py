"""The drawing table: templates of a grade, nested templates of all sizes of a pattern, cutting layouts on paper.

Apart from the workroom, so that who only grades or lays out does not load what writes PDF and DXF.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from grading.compare import GradedSizes, Refusal
from grading.document.variants import BASE_SIZE
from grading.errors import Stopped
from grading.grade import Grade
from grading.pipeline import Stop, grade_document, grade_size, grade_sizes, read_document
from grading.sheets.layout_sheets import layout_sheets as layout_sheets
from grading.sheets.sheets import Form, sheets

Json = Mapping[str, Any]


def grade_sheets(grade: Json, pattern: Json, settings: Json | None = None, form: Form = "pdf") -> bytes:
    """The templates of one size, from the documents of its grade and of its pattern; see `grading.sheets.sheets`.

    Raises RequestFaults.
    """
    return sheets([grade], pattern, settings, form)


def nested_sheets(document: Json, settings: Json | None = None, form: Form = "pdf", stop: Stop | None = None) -> bytes:
    """The templates of all named sizes of a pattern, nested on each other; those that cannot be are told of.

    Left out are sizes that cannot be made, and those on a ruler of the other system than the first. Raises
    DocumentFaults, RequestFaults, Stopped, and what `grade_size` does where no size can be made.
    """
    graded = grade_sizes(read_document(document), stop)
    chosen, remarks = _nested(graded, stop)
    written = [grade_document(grade) for grade in chosen]
    if stop is not None and stop():
        raise Stopped
    return sheets(written, document, settings, form, remarks)


def _nested(graded: GradedSizes, stop: Stop | None) -> tuple[list[Grade], list[str]]:
    """The sizes that are drawn together, and why others are not."""
    made = {name: size for name, size in graded.sizes.items() if not isinstance(size, Refusal)}
    if not made:
        return [grade_size(graded.pattern, size=BASE_SIZE, stop=stop)], []
    in_inches = next(iter(made.values())).model.ruler.in_inches
    chosen = [grade for grade in made.values() if grade.model.ruler.in_inches == in_inches]
    remarks = [f"Size {name} is left out: it cannot be made." for name in graded.sizes if name not in made]
    remarks += [
        f"Size {name} is left out: it is on a ruler of the other system."
        for name, grade in made.items()
        if grade.model.ruler.in_inches != in_inches
    ]
    return chosen, remarks
