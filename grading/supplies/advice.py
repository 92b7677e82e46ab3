"""What is said beside a list of supplies: what it leaves out, what it does not know, and the usual cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from grading.check.cautions import CAUTIONS
from grading.grade import Grade
from grading.supplies.plies import thickness_of
from grading.supplies.rows import SupplyRow, words
from grading.supplies.settings import SupplySettings
from grading.supplies.stitches import title
from grading.supplies.thread import ThreadRow

NO_CLOTH = "Cloth is not in this list: lay the pieces out on their cloths to know how much of each to buy."
THREAD = "Thread is for one colour, in every seam alike, and in no cost; a colour more is a reel more."


def advice(
    grade: Grade,
    rows: Sequence[SupplyRow],
    thread: Sequence[ThreadRow],
    settings: SupplySettings,
    layouts: Mapping[str, Any] | None,
) -> Iterator[str]:
    """One text for each thing that a maker should know."""
    if layouts is None:
        yield NO_CLOTH
    else:
        for left_out in layouts.get("without", ()):
            material, says = words(left_out["material"]), left_out["says"]
            named = f"{material} ({says})" if says else material
            yield f"{named} is not in this list, since it is not laid out: give its usable width, or its sheet."
    if thread:
        yield THREAD
    unknown = [title(row.stitch) for row in thread if row.used is None]
    if unknown:
        yield (
            f"How much thread these stitches take is not known: {'; '.join(unknown)}. Sew 10 cm, pull it out, measure "
            "the threads, and give the ratio of thread to seam in the settings."
        )
    yield from unknown_thickness(grade, settings)
    yield from cautions(grade, rows)


def unknown_thickness(grade: Grade, settings: SupplySettings) -> Iterator[str]:
    """Which materials count as nothing, since the document does not say how thick they are."""
    used = {layer.material for piece in grade.model.pieces.values() for layer in piece.layers}
    used |= {finding.material for finding in grade.findings.values() if finding.material is not None}
    unknown = [
        words(role)
        for role in grade.model.pattern.materials
        if role in used and thickness_of(grade.model, role, settings.tape) is None
    ]
    if unknown:
        yield f"No thickness is known of {', '.join(unknown)}: it is counted as nothing where layers are added up."


def cautions(grade: Grade, rows: Sequence[SupplyRow]) -> Iterator[str]:
    """The usual cautions for what the list and the pieces name. Never a safe load."""
    named = [words(f"{row.name} {row.says} {row.buy.what} {' '.join(row.findings)}") for row in rows if row.findings]
    named += [words(use) for use in grade.model.draft.index.uses]
    for caution in CAUTIONS:
        if any(caution.named.search(text) for text in named):
            yield caution.text
