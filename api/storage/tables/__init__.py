"""The tables. Every one has its owner, a workshop."""

from api.storage.tables.grades import GradeRow, TesterRecordRow
from api.storage.tables.jobs import JobRow
from api.storage.tables.layouts import LayoutsRow
from api.storage.tables.patterns import PatternRow, RevisionRow
from api.storage.tables.workshops import WorkshopRow

__all__ = [
    "GradeRow",
    "JobRow",
    "LayoutsRow",
    "PatternRow",
    "RevisionRow",
    "TesterRecordRow",
    "WorkshopRow",
]
