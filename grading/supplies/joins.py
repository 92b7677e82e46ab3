"""The places of a seam: where it is thickest along its length, where it crosses earlier ones, and over hems."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.cut.cut_list import default_allowance
from grading.model.seams import Seam, SeamEntry
from grading.supplies.crossings import Crossing, crossed, crossings, trimmed
from grading.supplies.edges import opposite, thickest_along
from grading.supplies.layering import HEM_LAYERS, Layering
from grading.supplies.order import Earlier, Making
from grading.supplies.places import Run, run_of
from grading.supplies.plies import Plies, folded, together
from grading.supplies.remedies import Found
from grading.supplies.rows import words
from grading.supplies.settings import Pressed

NO_HEM = "", 1


def seam_places(layers: Layering, made: Making, seam: Seam, earlier: Earlier, pressed: Pressed) -> Iterator[Found]:
    """The thickest place along a seam, then its crossings, then its ends where they lie over hems."""
    join, to = run_of(layers.grade, seam.join), run_of(layers.grade, seam.to)
    where, plies = thickest_along(layers, seam, join, to)
    in_allowance = not any(entry.is_line for entry in (*seam.join, *seam.to))
    yield Found(seam.name, "seam", where, plies, in_allowance=in_allowance)
    yield from _crossings(layers, seam, (join, to), earlier, pressed)
    yield from _over_hems(layers, made, seam, (join, to))


def _crossings(
    layers: Layering, seam: Seam, runs: tuple[Run, Run], earlier: Earlier, pressed: Pressed
) -> Iterator[Found]:
    """Each crossing once; where both sides have one at the same place, the two together."""
    join, to = runs
    scale = to.length / join.length if join.length else Fraction(1)
    on_join = list(crossings(layers, seam, join, earlier))
    on_to = list(crossings(layers, seam, to, earlier))
    reach = 2 * default_allowance(layers.grade.model)
    for crossing in on_join:
        partner = next((other for other in on_to if abs(other.place / scale - crossing.place) < reach), None)
        if partner is None:
            yield _crossing(layers, seam, (crossing,), opposite(layers, to, crossing.place * scale), pressed)
        else:
            on_to.remove(partner)
            yield _crossing(layers, seam, (crossing, partner), {}, pressed)
    for crossing in on_to:
        yield _crossing(layers, seam, (crossing,), opposite(layers, join, crossing.place / scale), pressed)


def _crossing(layers: Layering, seam: Seam, crossing: tuple[Crossing, ...], other: Plies, pressed: Pressed) -> Found:
    over = list(dict.fromkeys(words(each.over) for each in crossing))
    named = " and ".join(over)
    ways = [
        (
            f"grade {named}: trim an allowance of it away where {words(seam.name)} crosses it",
            together(other, *(trimmed(layers, each, pressed) for each in crossing)),
        )
    ]
    if pressed == "aside":
        apart = together(other, *(crossed(layers, each, "apart") for each in crossing))
        ways.append((f"press the allowances of {named} apart", apart))
    return Found(
        seam.name,
        "crossing",
        f"across {named}, from {' and from '.join(' to '.join(each.edges) for each in crossing)}",
        together(other, *(crossed(layers, each, pressed) for each in crossing)),
        tuple(ways),
    )


def _over_hems(layers: Layering, made: Making, seam: Seam, runs: tuple[Run, Run]) -> Iterator[Found]:
    """The two ends of a seam, where an edge beside one of its edges is hemmed already."""
    for at_end in () if seam.written.closed else (False, True):
        ends = [side[-1 if at_end else 0] for side in (seam.join, seam.to)]
        hems = [_hem_beside(layers, made, entry, at_end=at_end) for entry in ends]
        if not any(hems):
            continue
        sides = [
            folded(opposite(layers, run, run.length if at_end else Fraction(0)), times)
            for run, (_, times) in zip(runs, (hem or NO_HEM for hem in hems), strict=True)
        ]
        named = " and ".join(hem[0] for hem in hems if hem is not None)
        yield Found(seam.name, "crossing", f"over the hem of {named}", together(*sides))


def _hem_beside(layers: Layering, made: Making, entry: SeamEntry, *, at_end: bool) -> tuple[str, int] | None:
    """The hemmed edge that an edge runs into, and how many layers its fold makes."""
    if entry.is_line or not entry.is_whole or entry.use not in layers.grade.model.draft.index.uses:
        return None
    piece = layers.grade.model.parts.piece_of(entry.use)
    edges = [edge.name for edge in piece.outline.edges]
    step = 1 if entry.forward == at_end else -1
    beside = edges[(edges.index(entry.edge.name) + step) % len(edges)]
    if (entry.use, beside) not in made.hemmed:
        return None
    return f"{entry.use}.{beside}", HEM_LAYERS[piece.settings(beside).fate]
