"""The answer to a request as plain data for JSON."""

from __future__ import annotations

from typing import Any

from grading.compare.answer import DimensionAnswer, Explanation
from grading.compare.texts import exactly, shown
from grading.exact import Ruler
from grading.model import Relation

Json = dict[str, Any]


def write_answer(explanation: Explanation) -> Json:
    """The answer as plain data. Lengths are texts with their unit, exact or within 0.01 mm; counts whole numbers."""
    grade = explanation.grade
    return {
        "format": 1,
        "kind": "answer",
        "pattern": grade.model.pattern.name,
        "size": {
            "name": grade.size_name,
            "request": grade.request.model_dump(mode="json", by_alias=True, exclude_none=True),
        },
        "ruler": str(grade.model.ruler),
        "dimensions": {answer.name: _dimension(grade.model.ruler, answer) for answer in explanation.dimensions},
        "held": [write_relation(relation) for relation in explanation.held],
        "says": [answer.says for answer in explanation.differing],
    }


def write_relation(relation: Relation) -> Json:
    """A relation in a maker's words: its name, what it says, why it is there, where it is written."""
    return {"id": relation.id, "says": relation.says, "because": relation.because, "path": relation.path}


def _dimension(ruler: Ruler, answer: DimensionAnswer) -> Json:
    lengths = {key: getattr(answer, key) for key in ("asked", "wished", "nearest", "given")}
    is_count = answer.sizing == "count"
    return {
        "title": answer.title,
        "sizing": answer.sizing,
        **{
            key: None if value is None else str(value) if is_count else shown(ruler, exactly(value))
            for key, value in lengths.items()
        },
        "in_stock": [shown(ruler, exactly(value)) for value in answer.choices],
        "because": [write_relation(relation) for relation in answer.because],
        "says": answer.says,
    }
