"""The printed booklet of a pattern: all that a maker needs at the table, for one size or for all, in one edition."""

from grading.booklet.booklet import booklet
from grading.booklet.edition import is_of, system_of
from grading.booklet.papers import PAPERS, Paper, Papers, SizePapers

__all__ = ["PAPERS", "Paper", "Papers", "SizePapers", "booklet", "is_of", "system_of"]
