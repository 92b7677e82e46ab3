"""`sizewright export` and `sizewright import`: everything that is stored as plain files, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.command.files import Unreadable
from api.command.stored import settings, with_database
from api.operations.archives import name_fault
from api.storage.archive.faults import ArchiveError
from api.storage.archive.reading import bring_in
from api.storage.archive.writing import export

if TYPE_CHECKING:
    from argparse import Namespace

    from api.storage.archive.index import Index


def run(options: Namespace) -> int:
    """Writes an archive, or brings one in, and says how much that was."""
    url = settings().database_url
    place = options.place
    try:
        if options.command == "export":
            index = with_database(url, lambda database: export(database, place, options.workshop))
        else:
            index = with_database(url, lambda database: bring_in(database, place, name_fault))
    except (ArchiveError, OSError) as error:
        raise Unreadable(str(error)) from error
    print(_report(index, "written to" if options.command == "export" else "brought in from", str(place)))
    return 0


def _report(index: Index, done: str, place: str) -> str:
    counts = [f"  {table.replace('_', ' ')}: {count}" for table, count in index.rows.items() if count]
    return "\n".join([f"{len(index.files)} files have been {done} {place}:", *counts])
