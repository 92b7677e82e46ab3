"""Orders within proven boxes: sizes drawn to a tenth of a millimetre, each graded; none may be refused.

The boxes are each demo's own order form, and the largest box that is proven within the limits of the document for
the dimensions of that form, with the others at base and in proportion.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.document import Pattern
from grading.errors import SizewrightError
from grading.exact import print_length, read_length
from grading.pipeline import Prepared, grade_size, prepare, range_variant, read_document, size_range
from grading.ranges import Box, Others, examine
from tests.benchmarks import demo

SIZES = 10_000
QUICK = 30
SEED = 20_261_125
PATTERNS = ("market_tote", "ferry_day_pack", "allotment_tool_roll")
NOTED = 500
"""After how many sizes a line is written."""


@dataclass(frozen=True)
class Offer:
    """A box to draw from, of one pattern; `limits` are those of the document."""

    title: str
    pattern: Pattern
    prepared: Prepared
    box: Box | None
    limits: dict[str, tuple[Fraction, Fraction]]

    @property
    def figures(self) -> dict[str, Any]:
        """The ends of the box, and which part of the limits each side of it has."""
        if self.box is None:
            return {"proven": None}
        parts = {
            name: round(float((most - least) / (self.limits[name][1] - self.limits[name][0])), 3)
            for name, (least, most) in self.box.sides.items()
        }
        ends = {name: [print_length(least), print_length(most)] for name, (least, most) in self.box.sides.items()}
        return {"proven": ends, "part_of_limits": parts}


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark on all demo patterns."""
    offers = [offer for name in PATTERNS for offer in _offers(name)]
    generator, refused, reasons = random.Random(SEED), 0, []
    boxes = [offer for offer in offers if offer.box is not None]
    count = QUICK if quick else SIZES
    start = time.perf_counter()
    for number in range(count):
        offer = boxes[number % len(boxes)]
        reason = _refusal(offer, drawn(offer.box, generator)) if offer.box is not None else None
        if reason is not None:
            refused += 1
            reasons.append(f"{offer.title}: {reason}")
        if number % NOTED == NOTED - 1:
            demo.note(f"{number + 1} of {count} sizes, {refused} refused")
    return {
        "sizes": count,
        "refused": refused,
        "reasons": reasons[:10],
        "seconds_a_size": round((time.perf_counter() - start) / count, 4),
        "boxes": {offer.title: offer.figures for offer in offers},
    }


def drawn(box: Box, generator: random.Random) -> dict[str, Fraction]:
    """A size of a box, to a tenth of a millimetre; one in four values is an end of its side."""
    size = {}
    for name, (least, most) in box.sides.items():
        inner = least + Fraction(generator.randint(0, int((most - least) * 10)), 10)
        size[name] = generator.choice((least, most)) if generator.random() < 0.25 else inner
    return size


def _offers(name: str) -> Iterator[Offer]:
    pattern = read_document(demo.document(name))
    prepared = prepare(pattern, range_variant(pattern))
    own = size_range(prepared)
    limits = {
        side: (read_length(ends[0], pattern.unit), read_length(ends[1], pattern.unit))
        for side in own.asked.sides
        if (ends := pattern.dimensions[side].limits) is not None
    }
    yield Offer(f"{name}, its order form", pattern, prepared, own.asked if own.verdict.proven else None, limits)
    modes: tuple[Others, ...] = ("at base", "in proportion")
    for others in modes:
        asked = Box(limits, others)
        found = examine(prepared.model, prepared.compiled, asked)
        demo.note(f"{name}, {others}: proven {found.proven is not None}")
        yield Offer(f"{name}, largest {others}", pattern, prepared, found.proven, limits)


def _refusal(offer: Offer, size: dict[str, Fraction]) -> str | None:
    if offer.box is None:
        return None
    request = {
        "set": {name: print_length(value) for name, value in size.items()},
        "others": offer.box.others,
    }
    try:
        grade_size(offer.pattern, request=request, prepared=offer.prepared)
    except SizewrightError as error:
        return f"{request['set']}: {error}"
    return None
