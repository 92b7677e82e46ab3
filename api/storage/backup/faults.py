"""What can be wrong with a backup."""

from __future__ import annotations


class BackupError(Exception):
    """A backup that cannot be made, or put back; the text says why, and the database is as it was."""


def of_other_version(version: str) -> BackupError:
    """What is said of a backup with migrations that are not known here."""
    return BackupError(
        f"The backup has tables of version {version}, which is not known here. Put it back with the version of "
        "Sizewright that made it, or a newer one."
    )


def not_empty(table: str, count: int) -> BackupError:
    """What is said of a database that would be overwritten."""
    return BackupError(
        f"The database of DATABASE_URL is not empty: {table.replace('_', ' ')} has {count} row{'s' * (count != 1)}. "
        "Restore into a new one, or say --replace to lose what is in it; a backup of it can be made first."
    )


def none_of_ours() -> BackupError:
    """What is said of a file that holds other tables."""
    return BackupError("The file holds no tables of Sizewright.")
