"""All named sizes of a pattern, each graded or refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.document import Pattern
from grading.errors import (
    Conflict,
    DocumentFaults,
    Fault,
    RelationInConflict,
    RequestFaults,
    RulerOutOfReach,
    SizewrightError,
)
from grading.grade import Grade

MOST_REMEDIES = 3
"""Remedies that one size is told with; asking for it alone gives them all."""


@dataclass(frozen=True)
class Refusal:
    """Why a size cannot be made: in one text, and apart the relations or faults behind it and what would help."""

    says: str
    relations: tuple[RelationInConflict, ...] = ()
    faults: tuple[Fault, ...] = ()
    remedy: str = ""


@dataclass(frozen=True)
class GradedSizes:
    """A pattern with each of its named sizes, base first: a grade, or why there is none."""

    pattern: Pattern
    sizes: Mapping[str, Grade | Refusal]


def refusal_of(error: SizewrightError) -> Refusal:
    """What an error says of the size that it ended."""
    if isinstance(error, Conflict):
        told = "; ".join(_told(relation) for relation in error.relations)
        remedy = "; or ".join(remedy.change for remedy in error.remedies[:MOST_REMEDIES])
        return Refusal(f"these cannot all hold: {told}", relations=error.relations, remedy=remedy)
    if isinstance(error, RulerOutOfReach):
        told = "; ".join(relation.says for relation in error.relations)
        says = f"on a ruler of {error.ruler} these cannot be kept: {told}"
        return Refusal(says, relations=error.relations, remedy=error.remedy)
    if isinstance(error, DocumentFaults | RequestFaults):
        told = "; ".join(f"{fault.path}: {fault.problem}" for fault in error.faults)
        return Refusal(told, faults=error.faults, remedy="; ".join(fault.remedy for fault in error.faults))
    return Refusal(str(error))


def _told(relation: RelationInConflict) -> str:
    return f"{relation.says} ({relation.because})"
