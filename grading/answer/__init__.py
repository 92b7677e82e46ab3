"""Answers that are no grade: why a size cannot be and what would do, and the map of a pattern for all sizes."""

from grading.answer.asked import AskedSize, asked_size
from grading.answer.conflict_writing import conflict_parts, write_conflict
from grading.answer.explanation import explained
from grading.answer.solution_map import write_map

__all__ = ["AskedSize", "asked_size", "conflict_parts", "explained", "write_conflict", "write_map"]
