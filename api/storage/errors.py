"""What can be wrong with a database.

DatabaseUnavailable     it does not answer, or not in time; the same may work later
├── TransactionUndone   it undid a transaction for the sake of another; the same may work at once
└── DatabaseUnusable    it must be seen to first: it is damaged, or of another version
"""

from __future__ import annotations


class DatabaseUnavailable(Exception):
    """The database cannot be reached, or stays locked."""


class TransactionUndone(DatabaseUnavailable):
    """The database undid the whole transaction, since it and another waited for each other."""


class DatabaseUnusable(DatabaseUnavailable):
    """The database is there and cannot be worked with; the text says why, and what to do."""
