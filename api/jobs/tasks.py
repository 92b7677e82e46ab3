"""What workers do with the grading library. The server itself never loads the solver."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import grading
from api.jobs import batching, comparing
from api.jobs.worker import Refusal
from grading import errors, verify
from grading.document import read_pattern

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from api.jobs.worker import Task

KEPT_DOCUMENTS = 8
SHOWN = ("certificate", "limits", "remedies", "further")
"""What a conflict has besides its relations."""
UNREADABLE = "Send a sound pattern document, and a grade or measured pieces written as the description says."


def check(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, Any]:
    """All faults and remarks of a draft; for one that can be graded its name and size; refuses `stopped`."""
    data = json.loads(arguments["document"])
    try:
        found = grading.check_document(data, stop=stop)
    except errors.Stopped as error:
        raise _refusal(error) from error
    told = {"faults": _faults(found.faults), "remarks": _faults(found.remarks), "gradable": found.gradable}
    if not found.gradable:
        return told
    held = {"name": data["name"], "pieces": len(data["pieces"]), "seams": len(data.get("seams", {}))}
    return {
        **told,
        **held,
        "relations": found.relations,
        "claims": found.claims,
    }


def grade(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, str]:
    """A grade, proof, answer and cut list as texts; refuses `document`, `request`, `conflict`, `ruler`, `stopped`."""
    try:
        pattern, asked = _pattern(arguments["document"]), _asked(arguments)
        prepared = _prepared(arguments["document"], grading.variant_of(pattern, **asked))
        result = grading.grade_size(pattern, **asked, prepared=prepared, stop=stop)
    except errors.SizewrightError as error:
        raise _refusal(error) from error
    written = grading.grade_document(result)
    return {
        "document": json.dumps(written, ensure_ascii=False),
        "proof": json.dumps(grading.proof_document(result), ensure_ascii=False),
        "answer": json.dumps(grading.answer_document(grading.explain(result)), ensure_ascii=False),
        "cut_list_csv": grading.cut_list_csv(written),
    }


def solution_map(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The solution map of a pattern with the usual choice of its options, on its own ruler, as JSON."""
    pattern = _pattern(arguments["document"])
    prepared = _prepared(arguments["document"], grading.variant_of(pattern, size="base"))
    return json.dumps(grading.solution_map(pattern, prepared), ensure_ascii=False)


def batch(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The nearest size of every row, packed; refuses `document`, `request`, `conflict`, `stopped`."""
    request = json.loads(arguments["request"])
    try:
        variant = grading.batch_variant(_pattern(arguments["document"]), request.pop("options", None))
        result = grading.solve_batch(_prepared(arguments["document"], variant), request, stop)
    except errors.SizewrightError as error:
        raise _refusal(error) from error
    lines = batching.packed(result, stop)
    if lines is None:
        raise Refusal("stopped")
    return lines


def size_range(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """Whether a range of sizes can be made, as JSON; refuses `document`, `request`, `conflict`, `stopped`."""
    asked = json.loads(arguments["request"])
    try:
        pattern = _pattern(arguments["document"])
        variant = grading.range_variant(pattern, asked.get("options"), asked.get("ruler"))
        prepared = _prepared(arguments["document"], variant)
        found = grading.size_range(prepared, asked.get("choose"), asked.get("others"), stop)
    except errors.SizewrightError as error:
        raise _refusal(error) from error
    return json.dumps(grading.range_document(found, prepared), ensure_ascii=False)


def judge(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, Any]:
    """The verdict on a grade, or on pieces measured at the table; refuses `request`."""
    pattern = json.loads(arguments["document"])
    measured = "measured" in arguments
    judged = json.loads(arguments["measured" if measured else "grade"])
    try:
        verdict = verify.judge_measured(pattern, judged) if measured else verify.judge(pattern, judged)
    except verify.UnreadableInput as error:
        fault = {"path": error.path or "$", "problem": error.message, "remedy": UNREADABLE}
        raise Refusal("request", faults=[fault]) from error
    return dict(verdict.to_json())


def _asked(arguments: Mapping[str, Any]) -> dict[str, Any]:
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
def _pattern(text: str) -> Any:
    return read_pattern(json.loads(text))


@lru_cache(KEPT_DOCUMENTS)
def _prepared(text: str, variant: Any) -> Any:
    """What all sizes of a pattern with the same options on the same ruler have in common, drawn and compiled once."""
    return grading.prepare(_pattern(text), variant)


def _refusal(error: errors.SizewrightError) -> Refusal:
    """What the library refuses as the server is told of it: a kind, and the objects that the error is about."""
    match error:
        case errors.DocumentFaults(faults=faults):
            return Refusal("document", faults=_faults(faults))
        case errors.RequestFaults(faults=faults):
            return Refusal("request", faults=_faults(faults))
        case errors.Conflict():
            return Refusal("conflict", **_conflict(error))
        case errors.RulerOutOfReach(relations=relations, ruler=ruler, remedy=remedy):
            return Refusal("ruler", relations=_relations(relations), ruler=ruler, remedy=remedy)
    return Refusal("stopped")


def _faults(faults: tuple[errors.Fault, ...]) -> list[dict[str, str]]:
    return [{"path": fault.path, "problem": fault.problem, "remedy": fault.remedy} for fault in faults]


def _relations(relations: tuple[errors.RelationInConflict, ...]) -> list[dict[str, str]]:
    return [
        {"id": relation.id, "says": relation.says, "because": relation.because, "path": relation.path}
        for relation in relations
    ]


def _conflict(error: errors.Conflict) -> dict[str, Any]:
    written = grading.conflict_document(error)
    return {part: written[part] for part in ("relations", *SHOWN) if part in written}


TASKS: dict[str, Task] = {
    "check": check,
    "grade": grade,
    "judge": judge,
    "map": solution_map,
    "batch": batch,
    "range": size_range,
    "chart": comparing.chart,
    "difference": comparing.difference,
}
