"""What is known of a range of sizes, as plain data for JSON and in a maker's words."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor
from typing import Any

from grading.exact import Ruler
from grading.model import Model
from grading.ranges.box import Box, Corner
from grading.ranges.proving import Obstacle
from grading.ranges.suggesting import Range

HUNDREDTH = Fraction(1, 100)
"""mm to which room is told, always downwards, so that it never looks larger than it is."""
PROVEN = "Every size between these ends can be made: no rule of the pattern and no join on the ruler refuses one."
UNPROVEN = "It is not proven that every size between these ends can be made."
NO_SIZE = "No size was found that fails: there may be none, but nothing shows it."
LISTED = "The sizes listed were each tried and can be made."
SEARCH = (
    "Proven is that each of these sizes exists on the ruler. It is then looked for by a search that ends after a "
    "great many steps; if it should ever end without one, the order is refused with the words that none was found."
)


def write_range(found: Range, model: Model) -> dict[str, Any]:
    """The document of a range; lengths are printed on the model's ruler where they lie on it."""
    ruler, failing = model.ruler, found.counterexample
    return {
        "format": 1,
        "kind": "range",
        "pattern": model.pattern.name,
        "ruler": str(ruler),
        "others": found.asked.others,
        "proven": found.verdict.proven,
        "box": _box(found.asked, ruler),
        "rules": found.verdict.rules,
        "largest": None if found.proven is None else _box(found.proven, ruler),
        "obstacles": [_obstacle(each, ruler) for each in found.verdict.obstacles],
        "counterexample": None if failing is None else {"size": _size(failing.size, ruler), "reason": failing.reason},
        "sizes": [_size(size, ruler) for size in found.listed],
        "says": list(_says(found)),
    }


def _says(found: Range) -> Iterator[str]:
    if found.verdict.proven:
        yield PROVEN
    else:
        yield UNPROVEN
        if found.counterexample is None:
            yield NO_SIZE
        if found.listed:
            yield LISTED
    if found.proven is not None:
        yield SEARCH


def _obstacle(obstacle: Obstacle, ruler: Ruler) -> dict[str, Any]:
    room = None if obstacle.room is None else floor(obstacle.room / HUNDREDTH) * HUNDREDTH
    return {
        "says": obstacle.says,
        "because": obstacle.because,
        "path": obstacle.path,
        "room": None if room is None else ruler.text(room),
        "needed": None if obstacle.needed is None else ruler.text(-floor(-obstacle.needed / HUNDREDTH) * HUNDREDTH),
        "size": None if obstacle.corner is None else _size(obstacle.corner, ruler),
    }


def _box(box: Box, ruler: Ruler) -> dict[str, list[str]]:
    return {name: [ruler.text(least), ruler.text(most)] for name, (least, most) in box.sides.items()}


def _size(size: Corner, ruler: Ruler) -> dict[str, str]:
    return {name: ruler.text(value) for name, value in size.items()}
