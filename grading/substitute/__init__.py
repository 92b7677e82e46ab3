"""Changes of a pattern document that give another: other cloths, split pieces, mesh, a toile."""

from grading.substitute.changes import Change, read_changes
from grading.substitute.substitute import Substituted, substitute

__all__ = ["Change", "Substituted", "read_changes", "substitute"]
