"""What workers do for substitutions: make changes of a document, and lay one size out before and after."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.reading import asked_size, pattern_of, prepared_for, refusing
from grading import errors

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from grading.grade import Grade

    Json = dict[str, Any]
    Stop = Callable[[], bool]


def substitute(arguments: Mapping[str, Any], stop: Stop) -> str:
    """The answer to changes of a document as JSON; refuses `document`, `request`, `conflict`, `fit`, `stopped`.

    The size that is asked for must be one that the document as it is can be made in.
    """
    settings = {"widths": [], **arguments["settings"]}
    with refusing():
        # First what is soonest refused.
        old = _graded(arguments, stop)
        made = grading.substitution(json.loads(arguments["document"]), arguments["changes"], stop)
        new = _graded({**arguments, "document": json.dumps(made.made.document, ensure_ascii=False)}, stop)
        roles = {row.material for grade in (old, new) for row in grade.cut_list}
        after = _laid(new, settings, roles, stop)
        written = grading.substitution_document(
            made, arguments["size"], _laid_before(old, settings, roles, stop), after
        )
    return json.dumps(written, ensure_ascii=False)


def _graded(arguments: Mapping[str, Any], stop: Stop) -> Grade:
    pattern, asked = pattern_of(arguments["document"]), asked_size(arguments)
    prepared = prepared_for(arguments["document"], grading.variant_of(pattern, **asked))
    grade: Grade = grading.grade_size(pattern, **asked, prepared=prepared, stop=stop)
    return grade


def _laid(grade: Grade, settings: Json, roles: set[str], stop: Stop) -> Json:
    """The layouts of one side; settings for cloths that only the other side has are left out of it."""
    used = {row.material for row in grade.cut_list}
    cloths = settings.get("cloths")
    if isinstance(cloths, dict):
        of_this = {role: changes for role, changes in cloths.items() if role in used or role not in roles}
        settings = {**settings, "cloths": of_this}
    document: Json = grading.layouts_document(grading.layouts_of(grade, settings, stop))
    return document


def _laid_before(grade: Grade, settings: Json, roles: set[str], stop: Stop) -> Json | None:
    """The layouts before the changes; None where a piece does not fit, which may be why they are made."""
    try:
        return _laid(grade, settings, roles, stop)
    except errors.PieceDoesNotFit:
        return None
