"""Bags that are closed with nothing open to turn them through."""

from __future__ import annotations

import re
from collections.abc import Iterator

from grading.check.bag import Bag, edge_entries, step_name
from grading.check.notes import Note, fault, listed, remark
from grading.check.shells import Shells
from grading.document.steps import MEASURE, Step
from grading.model.seams import Seam

_OPENED = re.compile(r"\bopen\w*\b[^.;:]*\bzip|\bzip\w*\b[^.;:]*\bopen", re.IGNORECASE)
"""A text that says that a zip is opened, or left open."""


def turning_notes(bag: Bag) -> Iterator[Note]:
    """Follows the steps: a shell that is closed inside out must have a zip opened; what is turned must be open."""
    shells, told, last = Shells(bag), set[frozenset[str]](), None
    for number, step in enumerate(bag.steps):
        seams = [bag.model.seams[name] for name in step.makes]
        yield from _stitched_down_late(bag, shells, number, step)
        for seam in seams:
            shells.sew(seam)
            last = seam if seam.written.kind != "topstitched" else last
        for shell in [*_closed_by(bag, shells, step, seams), *_turned(bag, shells, step, last)]:
            if shell in told or any(shells.gaps(shell)) or _zip_opened(bag, shells, shell, number):
                continue
            told.add(shell)
            yield _closed_up(bag, shells, shell, number, step)
        yield from _turned_too_early(bag, number, step)


def _closed_by(bag: Bag, shells: Shells, step: Step, seams: list[Seam]) -> Iterator[frozenset[str]]:
    """The shells of seams that are sewn right sides together, and not closed by hand or from outside."""
    if step.action != "close":
        for seam in seams:
            entries = edge_entries(seam)
            if seam.written.kind == "plain" and entries:
                yield shells.around(entries[0].use)


def _turned(bag: Bag, shells: Shells, step: Step, last: Seam | None) -> Iterator[frozenset[str]]:
    for use in turned_uses(bag, step, last):
        shell = shells.around(use)
        if len(shell) > 1:
            yield shell


def turned_uses(bag: Bag, step: Step, last: Seam | None) -> list[str]:
    """What a step turns: the uses that it names, or else what was sewn last."""
    if step.action != "turn" or step.finishes:
        return []
    named = [use for use in step.uses if use in bag.uses]
    if named or last is None:
        return named
    return [entry.use for entry in edge_entries(last)][:1]


def _zip_opened(bag: Bag, shells: Shells, shell: frozenset[str], number: int) -> bool:
    zips = shells.zips(shell)
    if not zips:
        return False
    for step in bag.steps[: number + 1]:
        if step.action == "leave open" and not {*zips}.isdisjoint(step.uses):
            return True
        if _OPENED.search(MEASURE.sub("", step.text)):
            return True
    return False


def _closed_up(bag: Bag, shells: Shells, shell: frozenset[str], number: int, step: Step) -> Note:
    parts = listed(sorted(shell, key=[*bag.uses, *bag.model.draft.index.zips].index), most=5)
    zips = shells.zips(shell)
    when = "turned" if step.action == "turn" else "closed"
    if zips:
        return fault(
            "closed_up",
            f"steps.{number}",
            f"{parts} are {when} in {step_name(number)} with all seams sewn, and nobody has opened {listed(zips)}",
            f'open the zip first: say so in {step_name(number)} or before, or add a step with the action "leave open" '
            f"that uses {zips[0]}",
        )
    return fault(
        "closed_up",
        f"steps.{number}",
        f"{parts} are {when} in {step_name(number)}, and nothing is left open to turn them through",
        "leave a part of a straight seam open: name that part in a seam of its own, made after the turning in a step "
        'with the action "close"',
    )


def _turned_too_early(bag: Bag, number: int, step: Step) -> Iterator[Note]:
    """What is turned before any seam holds it, and sewn only afterwards."""
    for use in turned_uses(bag, step, None):
        sewn = sorted(
            (when, seam.name)
            for seam in bag.model.seams.values()
            if seam.written.kind != "topstitched" and any(entry.use == use for entry in edge_entries(seam))
            for when in bag.made[seam.name]
        )
        if sewn and sewn[0][0] > number:
            yield fault(
                "out_of_order",
                f"steps.{number}",
                f"{use} is turned in {step_name(number)}, but first sewn in {step_name(sewn[0][0])} ({sewn[0][1]})",
                f"turn it after {step_name(sewn[0][0])}",
            )


def _stitched_down_late(bag: Bag, shells: Shells, number: int, step: Step) -> Iterator[Note]:
    """Topstitching through one wall of a shell that is closed on all sides."""
    for name in step.makes:
        seam = bag.model.seams[name]
        if seam.written.kind != "topstitched":
            continue
        for entry in seam.to:
            shell = shells.around(entry.use)
            if len(shell) > 1 and not any(shells.gaps(shell)) and not shells.zips(shell):
                yield remark(
                    "stitched_down_late",
                    f"steps.{number}.makes",
                    f"{name} is topstitched on {entry.use} in {step_name(number)}, when all seams round it are closed",
                    "stitch it down while the piece lies flat, in an earlier step",
                )
