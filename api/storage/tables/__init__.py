"""The tables. Every one has its owner, a workshop."""

from api.storage.tables.drafts import DraftRow, DraftStateRow
from api.storage.tables.grades import GradeRow, TesterRecordRow
from api.storage.tables.jobs import JobRow
from api.storage.tables.keys import FormOriginRow, FormRow, KeyRow
from api.storage.tables.layouts import LayoutsRow
from api.storage.tables.patterns import PatternRow, RevisionRow
from api.storage.tables.workshops import WorkshopRow

__all__ = [
    "DraftRow",
    "DraftStateRow",
    "FormOriginRow",
    "FormRow",
    "GradeRow",
    "JobRow",
    "KeyRow",
    "LayoutsRow",
    "PatternRow",
    "RevisionRow",
    "TesterRecordRow",
    "WorkshopRow",
]
