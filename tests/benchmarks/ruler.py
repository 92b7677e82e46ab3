"""Joins that break on the ruler: each measure rounded alone, a careful maker's way, and ours; one judge for all.

The judge takes the lengths of both sides of every seam and the ease as the designer wrote it. A seam is broken if
the difference is more than it may be: nothing where both lengths and the ease can lie on the ruler exactly, the seam's
tolerance where pi, a root, a proportion, a bought zip or an ease off the ruler leaves no exact answer.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from fractions import Fraction
from statistics import fmean
from typing import Any

from grading.document import Pattern, read_request
from grading.errors import Conflict, RulerOutOfReach
from grading.exact import Enclosure, Ruler, enclose_pi, enclose_root, read_ruler
from grading.form import Form
from grading.model import Model, build_model, pose
from grading.model.seams import Seam, SeamEntry
from grading.pipeline import Prepared, compile_document, read_document
from grading.solve import solve
from grading.solve.row import fraction
from tests.benchmarks import demo

SIZES = 200
SEED = 20_261_125
RULERS = ("1 mm", "1/8 in")
UNALTERED = Ruler(Fraction(1, 1000), in_inches=False)
"""So fine that the document's constants stay as they are written."""

EXACT_ROOM = Fraction(1, 10**15)
"""mm; the enclosures of equal arcs and slants on both sides are far narrower, every step of a ruler far wider."""

Measured = Callable[[Form], Fraction]


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark on the largest demo pattern; the means over both rulers stand on top, those of each beneath."""
    pattern = read_document(demo.document(demo.LARGEST))
    result: dict[str, Any] = {"pattern": demo.LARGEST, "sizes": 12 if quick else SIZES}
    totals = {"ours_broken": 0, "refused": 0}
    for text in RULERS:
        figures = _on_ruler(pattern, text, result["sizes"])
        result[text] = figures
        totals["ours_broken"] += figures["ours_broken"]
        totals["refused"] += figures["refused"]
    result |= totals
    for key in ("rounded_broken_mean", "careful_broken_mean", "joins"):
        result[key] = round(fmean(result[text][key] for text in RULERS), 3)
    return result


def _on_ruler(pattern: Pattern, text: str, count: int) -> dict[str, Any]:
    ruler = read_ruler(text)
    prepared, drawn = compile_document(pattern, ruler), build_model(pattern, UNALTERED)
    fine = compile_document(pattern, UNALTERED)
    generator = random.Random(SEED)
    rounded, careful, ours, refused = [], [], 0, 0
    for number in range(count):
        request = _random_request(pattern, generator)
        try:
            solution = solve(pose(prepared.model, request), prepared.compiled)
        except (Conflict, RulerOutOfReach) as problem:
            demo.note(f"{text}, size {number}: refused, {problem}")
            refused += 1
            continue
        nearest = solution.nearest
        rounded.append(_broken(drawn, ruler, lambda form, at=nearest: ruler.put(form.enclosure(at).low)))
        recomputed = _recomputed(fine, ruler, nearest)
        careful.append(_broken(drawn, ruler, lambda form, at=recomputed: ruler.put(form.enclosure(at).low)))
        own = prepared.model
        ours += _broken(own, ruler, lambda form, at=solution.printed: form.enclosure(at).low)
        if number % 20 == 19:
            demo.note(f"{text}: {number + 1} of {count} sizes")
    return {
        "joins": len(drawn.seams),
        "rounded_broken_mean": fmean(rounded) if rounded else 0.0,
        "careful_broken_mean": fmean(careful) if careful else 0.0,
        "ours_broken": ours,
        "refused": refused,
    }


def _random_request(pattern: Pattern, generator: random.Random) -> Any:
    factors = {name: Fraction(generator.randint(880, 1180), 1000) for name in ("width", "height", "depth")}
    base = {name: Fraction(str(pattern.dimensions[name].base).split()[0]) for name in factors}
    chosen = {name: f"{float(round(base[name] * factor, 1))} mm" for name, factor in factors.items()}
    return read_request({"set": chosen, "others": "in proportion"})


def _recomputed(prepared: Prepared, ruler: Ruler, nearest: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """A careful maker: the dimensions that are free are rounded first, the decided ones are computed from them."""
    decided = prepared.compiled.solution
    values = {name: ruler.put(value) for name, value in nearest.items() if name not in decided}
    for name, terms in decided.items():
        values[name] = sum(
            (fraction(coefficient) * (values[key] if key else 1) for key, coefficient in terms.items()), Fraction(0)
        )
    return values


def _broken(model: Model, ruler: Ruler, measured: Measured) -> int:
    return sum(_is_broken(seam, ruler, measured) for seam in model.seams.values())


def _is_broken(seam: Seam, ruler: Ruler, measured: Measured) -> bool:
    join, to = (_side(side, measured) for side in (seam.join, seam.to))
    eased, other = (join, to) if seam.written.eased == "join" else (to, join)
    ease = seam.written_ease.constant
    low = eased.low - other.high * seam.factor - ease
    high = eased.high - other.low * seam.factor - ease
    is_exact = seam.relation.tolerance is None and ruler.lies_on(ease)
    room = EXACT_ROOM if is_exact else seam.tolerance
    return not (-room <= low and high <= room)


def _side(side: tuple[SeamEntry, ...], measured: Measured) -> Enclosure:
    total = Enclosure(Fraction(0), Fraction(0))
    for entry in side:
        total += _entry(entry, measured)
    return total


def _entry(entry: SeamEntry, measured: Measured) -> Enclosure:
    if not entry.is_whole:
        begin, end = entry.start, entry.end
        if begin.is_rational and end.is_rational:
            length = measured(end) - measured(begin)
            return Enclosure(length, length)
    total = Enclosure(Fraction(0), Fraction(0))
    for segment in entry.edge.segments:
        if segment.turn is not None:
            total += enclose_pi().times(measured(segment.radius) / 2)
        elif segment.is_level or segment.is_upright:
            length = measured(segment.length)
            total += Enclosure(length, length)
        else:
            across, along = measured(segment.across), measured(segment.along)
            total += enclose_root(across * across + along * along)
    return total
