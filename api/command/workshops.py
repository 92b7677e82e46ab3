"""`sizewright workshops`: workshops of one server, which see nothing of each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.command.stored import settings, with_database
from api.command.tables import Alignment, printable, table, terminal_width
from api.operations.opening import new_workshop
from api.storage.workshops import ensure_house, workshops

if TYPE_CHECKING:
    from argparse import Namespace

    from api.storage.database import Database
    from api.storage.records import WorkshopRecord

COLUMNS = ("id", "made", "name")
ALIGNED: tuple[Alignment, ...] = ("left", "left", "left")


def run(options: Namespace) -> int:
    """Makes a workshop and prints its first key alone, or lists all."""
    url = settings().database_url
    if options.action == "new":
        print(with_database(url, lambda database: new_workshop(database, options.name)).text)
    else:
        rows = [[each.id, f"{each.created_at:%Y-%m-%d}", printable(each.name)] for each in with_database(url, _all)]
        print(table(COLUMNS, ALIGNED, rows, terminal_width()))
    return 0


async def _all(database: Database) -> tuple[WorkshopRecord, ...]:
    async with database.transaction() as session:
        await ensure_house(session)
        return await workshops(session)
