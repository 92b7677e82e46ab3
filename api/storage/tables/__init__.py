"""The tables. Every one has its owner, a workshop."""

from api.storage.tables.drafts import DraftRow, DraftStateRow
from api.storage.tables.grades import GradeRow, TesterRecordRow
from api.storage.tables.jobs import JobRow
from api.storage.tables.keys import FormOriginRow, FormRow, KeyRow
from api.storage.tables.layouts import LayoutsRow
from api.storage.tables.notifications import EndpointRow, NotificationRow
from api.storage.tables.orders import IdempotencyKeyRow, OfferRow, OrderEventRow, OrderRow, QuoteRow
from api.storage.tables.patterns import PatternRow, RevisionRow
from api.storage.tables.workshops import WorkshopRow

__all__ = [
    "DraftRow",
    "DraftStateRow",
    "EndpointRow",
    "FormOriginRow",
    "FormRow",
    "GradeRow",
    "IdempotencyKeyRow",
    "JobRow",
    "KeyRow",
    "LayoutsRow",
    "NotificationRow",
    "OfferRow",
    "OrderEventRow",
    "OrderRow",
    "PatternRow",
    "QuoteRow",
    "RevisionRow",
    "TesterRecordRow",
    "WorkshopRow",
]
