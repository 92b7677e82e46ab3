"""What a designer writes: the pattern document, read whole or refused with all of its faults."""

from grading.document.pattern import Pattern
from grading.document.reading import read_pattern
from grading.document.requests import SizeRequest, read_request
from grading.document.schema import pattern_schema

__all__ = ["Pattern", "SizeRequest", "pattern_schema", "read_pattern", "read_request"]
