"""The usual cautions, where a draft names things that need them. Never a safe load: nobody has tested one here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from grading.check.bag import Bag
from grading.check.notes import Note, listed, remark
from grading.model.findings import Finding


@dataclass(frozen=True)
class Caution:
    """What a kind of finding is known by, how its caution reads, and the words by which one is known to be there."""

    kind: str
    named: re.Pattern[str]
    said: re.Pattern[str]
    text: str


def _words(*words: str) -> re.Pattern[str]:
    return re.compile(rf"\b({'|'.join(words)})", re.IGNORECASE)


CAUTIONS = (
    Caution(
        "load_caution",
        _words("handle", "strap", "buckle", r"hook\b", r"rings?\b", "carabiner", "swivel", "shoulder", "sling"),
        _words("load", "weight", "heav(y|ier)", "rating"),
        "Handles, straps and hardware: the load rating is the hardware maker's. Try the sewn bag with what it is to "
        "carry, and look at the seams again after use.",
    ),
    Caution(
        "small_part_caution",
        _words("stud", "snap", "button", "bead", "eyelet", "grommet", "rivet", "cord lock", "toggle", "magnet"),
        _words("small part"),
        "Small parts can be swallowed: before you sell the bag for a child, check your local product rules.",
    ),
    Caution(
        "cord_caution",
        _words("cord", "drawstring", "string", r"ties?\b", "lanyard", "tail"),
        _words("neck", "catch", "strangl"),
        "Cords and ties can catch round a neck: keep them from small children, and check your local product rules.",
    ),
    Caution(
        "magnet_caution",
        _words("magnet"),
        _words("implant", "pacemaker"),
        "Magnets are dangerous when swallowed, and disturb implants and cards: keep them from children and say so.",
    ),
)
"""Common practice, no source; local product rules differ."""


def caution_notes(bag: Bag) -> Iterator[Note]:
    """One remark for each caution that is needed and not found in the steps or in what is said of the findings."""
    pattern = bag.model.pattern
    texts = [pattern.says, *(step.text for step in bag.steps)]
    texts += [finding.says for finding in pattern.findings.values()]
    for caution in CAUTIONS:
        named = [name for name, finding in bag.model.findings.items() if caution.named.search(_title(name, finding))]
        if named and not any(caution.said.search(text) for text in texts):
            yield remark(
                caution.kind,
                f"findings.{named[0]}",
                f"the draft names {listed(named)}, and no step has the usual caution",
                f'add to a step: "{caution.text}"',
            )


def _title(name: str, finding: Finding) -> str:
    hardware = finding.written.hardware
    return f"{name.replace('_', ' ')} {hardware.what if hardware is not None else ''}"
