"""The mitred corners of a binding: where it turns from one straight edge into the next."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from grading.grade import Grade
from grading.model.seams import SeamEntry

LEAST_ROUND = 3
"""Entries with which a binding may run round and end where it began."""


def mitred_corners(grade: Grade, finding: str) -> int:
    """How many corners of a binding are mitred, at the grade's size."""
    along = grade.model.findings[finding].along
    pairs = [*pairwise(along), *([(along[-1], along[0])] if len(along) >= LEAST_ROUND else [])]
    return sum(_is_mitred(grade, before, after) for before, after in pairs)


def _is_mitred(grade: Grade, before: SeamEntry, after: SeamEntry) -> bool:
    if before.use != after.use or not (_is_straight(before) and _is_straight(after)):
        return False
    edges = grade.model.draft.index.edges_of(before.use) or ()
    apart = edges.index(after.edge.name) - edges.index(before.edge.name)
    if apart % len(edges) not in (1, len(edges) - 1):
        return False
    (dx, dy), (ex, ey) = _extent(grade, before), _extent(grade, after)
    return dx * ey != dy * ex


def _is_straight(entry: SeamEntry) -> bool:
    segments = entry.edge.segments
    return entry.is_whole and not entry.is_line and len(segments) == 1 and segments[0].is_line


def _extent(grade: Grade, entry: SeamEntry) -> tuple[Fraction, Fraction]:
    segment = entry.edge.first
    return segment.across.enclosure(grade.values).low, segment.along.enclosure(grade.values).low
