"""Pieces measured at the table: whether what was cut can still be sewn together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from grading.verify.document.options import chosen_options
from grading.verify.document.pattern import Pattern, named_request, read_head, read_pattern
from grading.verify.document.requests import BASE_SIZE
from grading.verify.document.seams import Seam
from grading.verify.document.sides import Side, Use, side_title
from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import read_length
from grading.verify.geometry.outlines import Segment
from grading.verify.reading import fields, joined, named
from grading.verify.unreadable import refuse
from grading.verify.verdict import CLOSING

JOINS, JOINS_WITHIN, EASE_IN, TRIM, CUT_ANEW = (
    "joins",
    "joins within the measuring",
    "ease it in",
    "trim",
    "cut anew",
)
# A side may be eased by one part in a hundred of the shorter; common practice, no source.
EASED_PART = Fraction(1, 100)


@dataclass(frozen=True)
class MeasuredSeam:
    """One seam of measured pieces: both sides, how far they are from fitting, and what to do."""

    seam: str
    verdict: str
    join: str
    to: str
    difference: str
    uncertainty: str
    too_long: str
    too_short: str
    says: str

    @property
    def holds(self) -> bool:
        """Whether it can be sewn as it is."""
        return self.verdict in {JOINS, JOINS_WITHIN, EASE_IN}


@dataclass(frozen=True)
class MeasuredVerdict:
    """The seams that could be judged, and those of which not every edge was measured."""

    seams: tuple[MeasuredSeam, ...]
    unmeasured: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether all judged seams can be sewn as they are."""
        return all(seam.holds for seam in self.seams)

    def to_json(self) -> dict[str, Any]:
        """Return the verdict as plain data."""
        return {
            "holds": self.holds,
            "seams": [asdict(seam) for seam in self.seams],
            "unmeasured": list(self.unmeasured),
            "closing": CLOSING,
        }


def judge_measured(pattern: dict[str, Any], measured: dict[str, Any]) -> MeasuredVerdict:
    """Return what can be said of pieces measured at the table.

    Raises `UnreadableInput` when one is no pattern, or the measured pieces cannot be read.
    """
    given = fields(measured, "", ("uncertainty", "pieces"), ("size",))
    title = given.get("size", BASE_SIZE)
    written = named_request(pattern, title)
    if written is None:
        refuse("is no size of the pattern", "size")
    head = read_head(pattern, chosen_options(pattern, written, f"sizes.{title}"))
    drawn = read_pattern(head, head.request(written, f"sizes.{title}"))
    uncertainty = read_length(given["uncertainty"], head.unit, "uncertainty")
    if uncertainty < 0:
        refuse("is below 0", "uncertainty")
    lengths = _stitched_lengths(drawn, given["pieces"], head.unit, title == BASE_SIZE)
    judged, unmeasured = [], []
    for name, seam in drawn.seams.items():
        if all(_is_known(side, lengths) for side in (seam.join, seam.to)):
            judged.append(_judged(seam, lengths, uncertainty, drawn, title == BASE_SIZE))
        else:
            unmeasured.append(name)
    return MeasuredVerdict(tuple(judged), tuple(unmeasured))


Lengths = Mapping[tuple[str, str], Fraction]


def _is_known(side: Side, lengths: Lengths) -> bool:
    return all(
        not entry.is_line and entry.start is None and entry.end is None and (entry.use.name, entry.name) in lengths
        for entry in side
    )


def _stitched_lengths(
    pattern: Pattern, value: object, unit: Fraction, at_base: bool
) -> dict[tuple[str, str], Fraction]:
    found = {}
    for title, entry, path in named(value, "pieces"):
        use = pattern.uses.get(title)
        if use is None:
            refuse("is no use of a piece and no zip", path)
        for edge, item, where in named(entry, path):
            if edge not in use.outline.edges:
                refuse(f"is no edge of {title}", where)
            given = fields(item, where, (), ("cut", "stitched"))
            if ("cut" in given) == ("stitched" in given):
                refuse("is neither a cut nor a stitched length", where)
            if "stitched" in given:
                length = read_length(given["stitched"], unit, joined(where, "stitched"))
            else:
                length = read_length(given["cut"], unit, joined(where, "cut"))
                length -= _room(pattern, use, edge, where, at_base)
            if length <= 0:
                refuse("leaves no length to sew", where)
            found[title, edge] = length
    return found


def _room(pattern: Pattern, use: Use, edge: str, path: str, at_base: bool) -> Fraction:
    """Return by how much a cut edge is longer than its stitching line: the neighbours' allowances."""
    if use.piece is None:
        refuse("is an edge of a zip: give its stitched length", path)
    if use.piece.is_flat:
        refuse("is an edge of a flat, with curved neighbours: give its stitched length", path)
    treatments = use.piece.treatments
    listed = use.outline.segments
    index = next(i for i, (name, _) in enumerate(listed) if name == edge)
    count = len(use.outline.edges[edge].segments)
    here, before, after = listed[index], listed[index - 1], listed[(index + 1) % len(listed)]
    if count > 1 or not all(_is_straight(item[1]) for item in (before, here, after)):
        refuse("is not straight between straight neighbours: give its stitched length", path)
    room = Fraction(0)
    for first, second, neighbour in ((before[1], here[1], before[0]), (here[1], after[1], after[0])):
        (ax, ay), (bx, by) = first.signs, second.signs
        turn = ax * by - ay * bx
        if turn == 0:
            refuse("does not end in square corners: give its stitched length", path)
        allowance = _constant(pattern, treatments[neighbour].allowance, path, at_base)
        room += allowance if turn < 0 else -allowance
    return room


def _is_straight(segment: Segment) -> bool:
    return segment.is_level or segment.is_upright


def _constant(pattern: Pattern, form: Form, path: str, at_base: bool) -> Fraction:
    if not form.is_constant and not at_base:
        refuse("needs a length that depends on the size: give its stitched length", path)
    return pattern.base.near(form)


def _judged(seam: Seam, lengths: Lengths, uncertainty: Fraction, pattern: Pattern, at_base: bool) -> MeasuredSeam:
    join, to = (sum((lengths[e.use.name, e.name] for e in side), Fraction(0)) for side in (seam.join, seam.to))
    longer, other = (join, to) if seam.eased_join else (to, join)
    if seam.factor is not None:
        difference = longer - seam.factor * other
    else:
        ease = Fraction(0) if seam.ease is None else _constant(pattern, seam.ease, f"seams.{seam.name}.ease", at_base)
        difference = longer - ease - other
    # Each edge counts once, however often the seam runs along it.
    edges = {(entry.use.name, entry.name) for entry in (*seam.join, *seam.to)}
    room = uncertainty * len(edges)
    eased, plain = (seam.join, seam.to) if seam.eased_join else (seam.to, seam.join)
    too_long, too_short = (eased, plain) if difference > 0 else (plain, eased)
    verdict = _verdict(abs(difference), room, seam.tolerance, min(join, to), too_long)
    ruler = pattern.ruler
    names = ("", "") if difference == 0 else (side_title(too_long), side_title(too_short))
    says = _says(seam, verdict, ruler.printed(abs(difference)), names)
    return MeasuredSeam(
        seam.name,
        verdict,
        ruler.printed(join),
        ruler.printed(to),
        ruler.printed(difference),
        ruler.printed(room),
        *names,
        says,
    )


def _verdict(off: Fraction, room: Fraction, tolerance: Fraction, shorter: Fraction, too_long: Side) -> str:
    if off + room <= tolerance:
        return JOINS
    if off <= tolerance + room:
        return JOINS_WITHIN
    if off <= EASED_PART * shorter:
        return EASE_IN
    # A zip cannot be cut back along its edge.
    return TRIM if all(entry.use.piece is not None for entry in too_long) else CUT_ANEW


def _says(seam: Seam, verdict: str, off: str, names: tuple[str, str]) -> str:
    too_long, too_short = names
    if verdict in {JOINS, JOINS_WITHIN}:
        return f"seam {seam.name} {verdict}"
    if verdict == EASE_IN:
        return f"seam {seam.name}: {too_long} is {off} too long for {too_short}: ease it in"
    trim = f"trim {too_long} by {off}, or " if verdict == TRIM else ""
    return f"seam {seam.name}: {too_long} is {off} too long: {trim}cut {too_short} anew"
