"""The check of a draft: everything that a designer would want to know before publishing, at once."""

from grading.check.attempts import Attempt
from grading.check.customs import CUSTOMS, Customs
from grading.check.notes import Note, fault_note, merged, parts_of
from grading.check.whole import check_bag

__all__ = ["CUSTOMS", "Attempt", "Customs", "Note", "check_bag", "fault_note", "merged", "parts_of"]
