"""Cautions: those that the supplies name, and those of what a bag is made to hold. Never a safe load."""

from __future__ import annotations

import re
from collections.abc import Iterator

from grading.booklet.papers import Papers
from grading.check.cautions import CAUTIONS

UNTESTED = (
    "No load has been tried with this pattern, and none is stated in this booklet. What a sewn bag carries hangs on "
    "its cloth, its thread, its hardware and its seams."
)
_MORE: tuple[tuple[re.Pattern[str], str], ...] = (
    (
        re.compile(r"\b(batter|power ?bank|charger|torch|lamp|heated|bicycle light)", re.IGNORECASE),
        "Batteries: keep them in the case that they came in, where nothing presses or bends them and no metal touches "
        "their ends; take them out before washing, and do not charge them in the closed bag.",
    ),
    (
        re.compile(r"\b(cabin|carry-on|airline|aeroplane|airplane|flight|hand luggage|under-?seat)", re.IGNORECASE),
        "Airlines each have their own sizes and weights, and count handles, feet and what bulges: ask yours before you "
        "travel. A size that was drawn to fit is not a size that has been admitted.",
    ),
    (
        re.compile(r"\b(child's|children's|baby|babies|toddler|infant|nursery|school)", re.IGNORECASE),
        "For children: look at seams, cords and small parts before each use, and check your local product rules before "
        "you sell it.",
    ),
)
"""By what a pattern's texts name; common practice, no source."""


def cautions(papers: Papers) -> Iterator[str]:
    """Every caution of a booklet once; that no load was tried always."""
    yield UNTESTED
    said = {text for size in papers.sizes for text in size.supplies["says"]}
    yield from (caution.text for caution in CAUTIONS if caution.text in said)
    named = "\n".join(_named(papers))
    yield from (text for words, text in _MORE if words.search(named))


def is_caution(text: str) -> bool:
    """Whether a text of the supplies is told with the cautions, and need not be told again."""
    return any(text == caution.text for caution in CAUTIONS)


def _named(papers: Papers) -> Iterator[str]:
    pattern = papers.pattern
    yield from (pattern["name"], pattern.get("says", ""))
    for section in ("pieces", "contents", "findings"):
        for name, part in pattern.get(section, {}).items():
            yield f"{name.replace('_', ' ')} {part.get('says', '')}"
    yield from (step["text"] for step in pattern.get("steps", ()))
