"""From a grade to the cutting table: layouts, supplies, bulk, their pictures; and the same bag in other cloths.

Apart from the pipeline, so that who only grades does not load the search for layouts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from grading.cloth import Hurry, Layouts, LayoutSettings, Progress, above_text, lay_out, layouts_table, write_layouts
from grading.compare import GradedSizes, Substitution, compare, lost_sizes, refusal_of, write_substitution
from grading.document.variants import BASE_SIZE
from grading.errors import Conflict, Fault, RequestFaults
from grading.grade import Grade
from grading.pictures import layout_picture as layout_picture
from grading.pipeline import Stop, grade_sizes, read_document
from grading.substitute import substitute
from grading.supplies import Bulk, Supplies, read_supply_settings, supplies_table, write_bulk, write_supplies
from grading.supplies import bulk as add_up_bulk
from grading.supplies import supplies as list_supplies


def layouts_of(
    grade: Grade,
    settings: LayoutSettings | Mapping[str, Any] | None = None,
    stop: Stop | None = None,
    progress: Progress | None = None,
    hurry: Hurry | None = None,
) -> Layouts:
    """Lay the pieces of a grade on every cloth; `progress` is told a role, the best length so far and the least
    that there can be, in mm; `hurry` is asked whether the time for a share of the work is over.

    Raises LayoutFaults with all faults of the settings and of places on prints, PieceDoesNotFit, Stopped.
    """
    return lay_out(grade, settings, stop, progress, hurry)


def above_least(length: Fraction, least: Fraction) -> str:
    """How far a length of cloth may be above the least possible, in words."""
    return above_text(length, least)


def layouts_document(layouts: Layouts) -> dict[str, Any]:
    """Layouts as plain data for JSON."""
    return write_layouts(layouts)


def layouts_csv(layouts: Mapping[str, Any]) -> str:
    """The document of layouts as CSV: a piece a row."""
    return layouts_table(layouts)


def supplies_of(
    grade: Grade, settings: Mapping[str, Any] | None = None, layouts: Mapping[str, Any] | None = None
) -> Supplies:
    """What a grade needs besides its pieces; with the document of its layouts the cloth too.

    Raises RequestFaults with all faults of the settings.
    """
    model = grade.model
    return list_supplies(grade, read_supply_settings(settings, model.ruler, model.pattern.unit), layouts)


def supplies_document(supplies: Supplies) -> dict[str, Any]:
    """A list of supplies as plain data for JSON."""
    return write_supplies(supplies)


def supplies_csv(supplies: Mapping[str, Any]) -> str:
    """The document of supplies as CSV: a row for each thing, for the thread, and for each sum of money."""
    return supplies_table(supplies)


def bulk_of(grade: Grade, settings: Mapping[str, Any] | None = None) -> Bulk:
    """How thick the layers of a grade lie at every seam. Raises RequestFaults with all faults of the settings."""
    model = grade.model
    return add_up_bulk(grade, read_supply_settings(settings, model.ruler, model.pattern.unit))


def bulk_document(bulk: Bulk) -> dict[str, Any]:
    """Bulk as plain data for JSON."""
    return write_bulk(bulk)


def substitution(
    document: Mapping[str, Any], changes: Sequence[Mapping[str, Any]], stop: Stop | None = None
) -> Substitution:
    """Make changes of a document, which stays as it is; see `grading.substitute`.

    Every size that could be made and proven still can. Raises DocumentFaults, Conflict, Stopped; RequestFaults for
    changes that cannot be made, or that a size is lost by.
    """
    made, before = substitute(document, changes), grade_sizes(read_document(document), stop)
    after, faults = _after(made.document, before, "changes", stop)
    for number in range(len(changes) if faults else 0):
        _, own = _after(substitute(document, changes[: number + 1]).document, before, f"changes.{number}", stop)
        if own:
            raise RequestFaults(own)
    if after is None or faults:
        raise RequestFaults(faults)
    return Substitution(made, compare(before, after))


def _after(
    document: Mapping[str, Any], before: GradedSizes, path: str, stop: Stop | None
) -> tuple[GradedSizes | None, tuple[Fault, ...]]:
    """The sizes of a changed document, and those that are lost by the changes."""
    try:
        after = grade_sizes(read_document(document), stop)
    except Conflict as found:
        refused = refusal_of(found)
        return None, (Fault(path, f"with it {refused.says}", refused.remedy or "change it otherwise"),)
    return after, tuple(lost_sizes(before, after, path))


def substitution_document(
    substitution: Substitution,
    size: str | None = BASE_SIZE,
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """A substitution as plain data for JSON; `before` and `after` are documents of layouts of this size.

    The size is None where it has no name.
    """
    return write_substitution(substitution, size, before, after)
