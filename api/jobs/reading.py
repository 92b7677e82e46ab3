"""What every task reads and refuses: patterns kept from one task to the next, sizes, errors of the library."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.worker import Refusal
from grading import errors
from grading.document import read_pattern

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from grading.grade import Grade

KEPT_DOCUMENTS = 8
SHOWN = ("certificate", "limits", "remedies", "further")
"""What a conflict has besides its relations."""


def asked_size(arguments: Mapping[str, Any]) -> dict[str, Any]:
    """The size as the library takes it; a named size with another ruler is no longer the named one."""
    size, request, ruler = arguments["size"], arguments["request"], arguments["ruler"]
    if ruler is None:
        return {"size": size, "request": request}
    if size is not None:
        sizes = {"base": {"scale": 1}, **json.loads(arguments["document"]).get("sizes", {})}
        if size not in sizes:
            return {"size": size}
        request = sizes[size]
    return {"request": {**request, "ruler": ruler}}


@lru_cache(KEPT_DOCUMENTS)
def pattern_of(text: str) -> Any:
    """The pattern of a document, read once."""
    return read_pattern(json.loads(text))


@lru_cache(KEPT_DOCUMENTS)
def prepared_for(text: str, variant: Any) -> Any:
    """What all sizes of a pattern with the same options on the same ruler have in common, drawn and compiled once."""
    return grading.prepare(pattern_of(text), variant)


def refusal(error: errors.SizewrightError) -> Refusal:
    """What the library refuses as the server is told of it: a kind, and the objects that the error is about."""
    match error:
        case errors.DocumentFaults(faults=faults):
            return Refusal("document", faults=written_faults(faults))
        case errors.RequestFaults(faults=faults) | errors.LayoutFaults(faults=faults):
            return Refusal("request", faults=written_faults(faults))
        case errors.Conflict():
            return Refusal("conflict", **_conflict(error))
        case errors.RulerOutOfReach(relations=relations, ruler=ruler, remedy=remedy):
            return Refusal("ruler", relations=_relations(relations), ruler=ruler, remedy=remedy)
        case errors.PieceDoesNotFit():
            return Refusal("fit", faults=[_unfit(error)])
    return Refusal("stopped")


@contextmanager
def refusing() -> Iterator[None]:
    """Refuses what the library refuses within the block."""
    try:
        yield
    except errors.SizewrightError as error:
        raise refusal(error) from error


def regraded(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> Grade:
    """The grade that is stored, made anew; refuses `outdated` where it does not come out the same."""
    with refusing():
        pattern, asked = pattern_of(arguments["document"]), asked_size(arguments)
        prepared = prepared_for(arguments["document"], grading.variant_of(pattern, **asked))
        grade: Grade = grading.grade_size(pattern, **asked, prepared=prepared, stop=stop)
    if json.dumps(grading.grade_document(grade), ensure_ascii=False) != arguments["grade"]:
        raise Refusal("outdated")
    return grade


def written_faults(faults: tuple[errors.Fault, ...]) -> list[dict[str, str]]:
    """Faults as plain data."""
    return [{"path": fault.path, "problem": fault.problem, "remedy": fault.remedy} for fault in faults]


def _unfit(error: errors.PieceDoesNotFit) -> dict[str, str]:
    problem = f"{error.letter} ({error.layer}) needs {error.needs} across, and {error.cloth} has {error.width}"
    return {"path": f"pieces.{error.piece}", "problem": problem, "remedy": "; or ".join(error.remedies)}


def _relations(relations: tuple[errors.RelationInConflict, ...]) -> list[dict[str, str]]:
    return [
        {"id": relation.id, "says": relation.says, "because": relation.because, "path": relation.path}
        for relation in relations
    ]


def _conflict(error: errors.Conflict) -> dict[str, Any]:
    written = grading.conflict_document(error)
    return {part: written[part] for part in ("relations", *SHOWN) if part in written}
