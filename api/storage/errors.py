"""What can be wrong with a database.

DatabaseUnavailable     it does not answer, or not in time; the same may work later
└── DatabaseUnusable    it must be seen to first: it is damaged, or of another version
"""

from __future__ import annotations


class DatabaseUnavailable(Exception):
    """The database cannot be reached, or stays locked."""


class DatabaseUnusable(DatabaseUnavailable):
    """The database is there and cannot be worked with; the text says why, and what to do."""
