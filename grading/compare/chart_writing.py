"""The size chart as plain data for JSON."""

from __future__ import annotations

from typing import Any

from grading.compare.answer_writing import write_relation
from grading.compare.chart import Chart, ChartSize
from grading.compare.sizes import Refusal
from grading.compare.texts import exactly, shown
from grading.document import Pattern
from grading.document.requests import print_volume

Json = dict[str, Any]
DRAFTED = "drafted"
NOT_YET_SEWN = "calculated, not yet sewn"


def write_chart(chart: Chart) -> Json:
    """The chart as plain data. Lengths are texts with their unit on the ruler of their size, counts whole numbers."""
    return {
        "format": 1,
        "kind": "chart",
        "pattern": chart.pattern.name,
        "state": state_of(chart.pattern),
        "says": NOT_YET_SEWN if state_of(chart.pattern) == DRAFTED else "",
        "titles": {name: dimension.says for name, dimension in chart.pattern.dimensions.items()},
        "sizes": [
            {"name": name, "made": None, "refused": write_refusal(size)}
            if isinstance(size, Refusal)
            else {"name": name, "made": _made(size), "refused": None}
            for name, size in chart.sizes.items()
        ],
    }


def state_of(pattern: Pattern) -> str:
    """How far the edition has come."""
    return DRAFTED if pattern.edition is None else pattern.edition.state


def write_refusal(refusal: Refusal) -> Json:
    """Why a size cannot be made, as plain data."""
    return {
        "says": refusal.says,
        "relations": [
            {"id": relation.id, "says": relation.says, "because": relation.because, "path": relation.path}
            for relation in refusal.relations
        ],
        "faults": [{"path": fault.path, "problem": fault.problem, "remedy": fault.remedy} for fault in refusal.faults],
        "remedy": refusal.remedy,
    }


def _made(size: ChartSize) -> Json:
    text = size.ruler.text
    return {
        "ruler": str(size.ruler),
        "dimensions": {
            name: str(value) if name in size.counts else text(value) for name, value in size.dimensions.items()
        },
        "inside": None if size.inside is None else [shown(size.ruler, length) for length in size.inside],
        "volume": None if size.volume is None else print_volume(size.volume),
        "pieces": {name: {"width": text(box.width), "height": text(box.height)} for name, box in size.boxes.items()},
        "stock": {name: text(value) for name, value in size.stock.items()},
        "zips": {
            name: {"length": text(bought.length), "bought": None if bought.bought is None else text(bought.bought)}
            for name, bought in size.zips.items()
        },
        "held": [
            {
                "dimension": answer.name,
                "wished": None if answer.wished is None else shown(size.ruler, exactly(answer.wished)),
                "given": text(answer.given),
                "because": [write_relation(relation) for relation in answer.because],
                "says": answer.says,
            }
            for answer in size.held
        ],
    }
