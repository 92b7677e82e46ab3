"""Steps: each with a box to tick, its text with the measures of the size, and what it is about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer

from grading.booklet.boxes import TickedStep
from grading.booklet.edition import Edition
from grading.booklet.papers import Papers, SizePapers
from grading.booklet.typography import STYLES, paragraph, safe, words
from grading.document import Pattern
from grading.document.steps import Step

Json = Mapping[str, Any]
NO_STEPS = "The pattern has no steps."
READING = (
    "Tick each step when it is done. Below it stand the letters of its pieces, and the length of each seam on the "
    "stitching line: what is joined first, then what it is joined to where the two differ."
)
BETWEEN = 7.0
"""Points between two steps."""
_FACTS = STYLES["small"].clone("facts", leftIndent=TickedStep.INDENT, spaceBefore=1.5)


def steps(papers: Papers, size: SizePapers, edition: Edition) -> Iterator[Flowable]:
    """All steps of a size in their order."""
    texts, grade = size.grade["steps"], size.grade
    if not texts:
        yield paragraph(NO_STEPS)
        return
    yield paragraph(READING)
    pattern = papers.resolved(size)
    written: tuple[Step | None, ...] = papers.steps(size)
    if len(written) != len(texts):  # documents of two revisions: the texts are right, what they are about is not known
        written = (None,) * len(texts)
    letters = letters_of(pattern, grade)
    for number, (text, step) in enumerate(zip(texts, written, strict=True), 1):
        facts = "" if step is None else ". ".join(_facts(step, letters, grade, edition))
        parts: list[Flowable] = [TickedStep.of(number, edition.prose(text))]
        if facts:
            parts.append(Paragraph(safe(f"{facts}."), _FACTS))
        yield KeepTogether([*parts, Spacer(1, BETWEEN)])


def letters_of(pattern: Pattern, grade: Json) -> dict[str, str]:
    """The letter of the piece of each use."""
    return {
        use.name: grade["pieces"][name]["letter"]
        for name, piece in pattern.pieces.items()
        if name in grade["pieces"]
        for use in piece.named_uses(name)
    }


def _facts(step: Step, letters: Mapping[str, str], grade: Json, edition: Edition) -> Iterator[str]:
    pieces = [f"{letters[use]} {words(use)}" for use in step.uses if use in letters]
    findings = [words(name) for name in (*step.uses, *step.binds) if name not in letters]
    seams = [_seam(name, grade["seams"][name], edition) for name in step.makes if name in grade["seams"]]
    if pieces or findings:
        yield f"{step.action.capitalize()}: {', '.join([*pieces, *dict.fromkeys(findings)])}"
    if seams:
        yield f"{'Seam' if len(seams) == 1 else 'Seams'}: {', '.join(seams)}"


def _seam(name: str, seam: Json, edition: Edition) -> str:
    join, to = edition.length(seam["join"]), edition.length(seam["to"])
    return f"{words(name)} {join}" if join == to else f"{words(name)} {join} to {to}"
