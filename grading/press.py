"""The printing press: from grades to the booklet of a pattern.

Apart from the workroom, so that who only lays out or counts does not load what writes PDF.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from grading.booklet import Paper, Papers, SizePapers, booklet, is_of, system_of
from grading.compare import GradedSizes, Refusal, make_chart
from grading.document.variants import BASE_SIZE
from grading.errors import Fault, LayoutFaults, PieceDoesNotFit, RequestFaults, Stopped
from grading.grade import Grade
from grading.pipeline import (
    Stop,
    answer_document,
    chart_document,
    explain,
    grade_document,
    grade_size,
    grade_sizes,
    read_document,
    size_chart,
)
from grading.workroom import layouts_document, layouts_of, supplies_document, supplies_of

QUICKLY: Mapping[str, Any] = {"effort": "quick", "widths": []}
"""How the sizes of a whole booklet are laid out where nobody has laid them: the same each time, and soon."""

OTHER_LAYOUTS = Fault("layouts", "these are not layouts of this size", "lay out this size, and name those layouts")


def size_papers(grade: Grade, layouts: Mapping[str, Any] | None = None, unlaid: str = "") -> SizePapers:
    """The documents of one size that its part of a booklet is made from; `unlaid` tells why it has no layouts.

    Raises RequestFaults for layouts of another size.
    """
    written = grade_document(grade)
    if layouts is not None and any(layouts.get(part) != written[part] for part in ("pattern", "size", "ruler")):
        raise RequestFaults([OTHER_LAYOUTS])
    supplied = supplies_document(supplies_of(grade, None, layouts))
    return SizePapers(written, supplied, answer_document(explain(grade)), layouts, unlaid)


def booklet_of(
    document: Mapping[str, Any], sizes: Sequence[SizePapers], paper: Paper = "A4", stop: Stop | None = None
) -> bytes:
    """The booklet of these sizes of a pattern's document as PDF.

    Raises RequestFaults where a size is on a ruler of the other system than the pattern's edition, DocumentFaults,
    Stopped.
    """
    chart = chart_document(size_chart(read_document(document), stop))
    return booklet(Papers(document, chart, tuple(sizes)), paper)


def booklet_of_all(
    document: Mapping[str, Any], paper: Paper = "A4", stop: Stop | None = None, *, lay: bool = True
) -> bytes:
    """The booklet of all named sizes that can be made and are of the pattern's edition, laid out quickly.

    Those that cannot be made are told in its size chart. Raises what `grade_size` does where none can be made.
    """
    graded = grade_sizes(read_document(document), stop)
    chart = chart_document(make_chart(graded))
    sizes = tuple(_laid(grade, stop) if lay else size_papers(grade) for grade in _printed(document, graded, stop))
    if stop is not None and stop():
        raise Stopped
    return booklet(Papers(document, chart, sizes), paper)


def _printed(document: Mapping[str, Any], graded: GradedSizes, stop: Stop | None) -> list[Grade]:
    made = [size for size in graded.sizes.values() if not isinstance(size, Refusal)]
    if not made:
        return [grade_size(graded.pattern, size=BASE_SIZE, stop=stop)]
    system = system_of(document, str(made[0].model.ruler))
    return [grade for grade in made if is_of(str(grade.model.ruler), system)] or made


def _laid(grade: Grade, stop: Stop | None) -> SizePapers:
    """A size with its layouts, or with the reason why a piece of it cannot be laid."""
    try:
        layouts = layouts_document(layouts_of(grade, QUICKLY, stop))
    except (PieceDoesNotFit, LayoutFaults) as refused:
        return size_papers(grade, unlaid=f"No layout could be made of this size: {'. '.join(_reasons(refused))}.")
    return size_papers(grade, layouts)


def _reasons(refused: PieceDoesNotFit | LayoutFaults) -> Iterator[str]:
    if isinstance(refused, LayoutFaults):
        yield from (f"{fault.problem} ({fault.remedy})" for fault in refused.faults)
    else:
        yield str(refused)
