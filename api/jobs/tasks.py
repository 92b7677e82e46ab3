"""What workers do with the grading library. The server itself never loads the solver."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs import (
    batching,
    booklets,
    cloth,
    comparing,
    drafting,
    judging,
    packets,
    pictures,
    piece_lists,
    quoting,
    sheets,
    substituting,
)
from api.jobs.reading import asked_size, pattern_of, prepared_for, refusal, refusing, written_faults
from api.jobs.worker import Refusal
from grading import errors

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from api.jobs.worker import LongTask, Task


def check(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, Any]:
    """All faults and remarks of a draft; for one that can be graded its name and size; refuses `stopped`."""
    data = json.loads(arguments["document"])
    try:
        found = grading.check_document(data, stop=stop)
    except errors.Stopped as error:
        raise refusal(error) from error
    told = {
        "faults": written_faults(found.faults),
        "remarks": written_faults(found.remarks),
        "gradable": found.gradable,
    }
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
        pattern, asked = pattern_of(arguments["document"]), asked_size(arguments)
        prepared = prepared_for(arguments["document"], grading.variant_of(pattern, **asked))
        result = grading.grade_size(pattern, **asked, prepared=prepared, stop=stop)
    except errors.SizewrightError as error:
        raise refusal(error) from error
    written = grading.grade_document(result)
    return {
        "document": json.dumps(written, ensure_ascii=False),
        "proof": json.dumps(grading.proof_document(result), ensure_ascii=False),
        "answer": json.dumps(grading.answer_document(grading.explain(result)), ensure_ascii=False),
        "cut_list_csv": grading.cut_list_csv(written),
    }


def solution_map(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The solution map of a pattern with these options (others as usual), on its own ruler, as JSON."""
    options = arguments["options"]
    with refusing():
        pattern = pattern_of(arguments["document"])
        prepared = prepared_for(arguments["document"], grading.range_variant(pattern, options))
        return json.dumps(grading.solution_map(pattern, prepared, options), ensure_ascii=False)


def batch(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The nearest size of every row, packed, from `first` on; refuses `document`, `request`, `conflict`, `stopped`."""
    request = json.loads(arguments["request"])
    try:
        variant = grading.batch_variant(pattern_of(arguments["document"]), request.pop("options", None))
        result = grading.solve_batch(prepared_for(arguments["document"], variant), request, stop)
    except errors.SizewrightError as error:
        raise refusal(error) from error
    lines = batching.packed(result, stop, arguments.get("first", 0))
    if lines is None:
        raise Refusal("stopped")
    return lines


def size_range(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """Whether a range of sizes can be made, as JSON; refuses `document`, `request`, `conflict`, `stopped`."""
    asked = json.loads(arguments["request"])
    try:
        pattern = pattern_of(arguments["document"])
        variant = grading.range_variant(pattern, asked.get("options"), asked.get("ruler"))
        prepared = prepared_for(arguments["document"], variant)
        found = grading.size_range(prepared, asked.get("choose"), asked.get("others"), stop)
    except errors.SizewrightError as error:
        raise refusal(error) from error
    return json.dumps(grading.range_document(found, prepared), ensure_ascii=False)


TASKS: dict[str, Task] = {
    "check": check,
    "grade": grade,
    "judge": judging.judge,
    "map": solution_map,
    "batch": batch,
    "range": size_range,
    "chart": comparing.chart,
    "difference": comparing.difference,
    "piece_list": piece_lists.piece_list,
    "draft_picture": drafting.picture,
    "rename": drafting.rename,
    "picture": cloth.picture,
    "bag": pictures.bag,
    "seam": pictures.seam,
    "supplies": cloth.supplies,
    "bulk": cloth.bulk,
    "booklet": booklets.of_grade,
    "whole_booklet": booklets.of_all_sizes,
    "sheets": sheets.of_grade,
    "nested_sheets": sheets.of_all_sizes,
    "layout_sheets": sheets.of_layouts,
    "substitute": substituting.substitute,
    "wish": quoting.wish,
    "laying": quoting.laying,
    "price": quoting.price,
}
LONG_TASKS: dict[str, LongTask] = {
    "layouts": cloth.layouts,
    "form": quoting.form,
    "packet": packets.packet,
    "warm": cloth.warm,
}
