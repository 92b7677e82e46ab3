"""What may stand on the command line of `sizewright backup`, `restore`, `export` and `import`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from argparse import ArgumentParser, _SubParsersAction
    from collections.abc import Callable

    Commands = _SubParsersAction[ArgumentParser]
    Command = Callable[[Commands, str, str], ArgumentParser]

REPLACED = "take the place of what is there"
PLACE = "a folder, or a file that ends in .zip"


def add_storage(commands: Commands, command: Command) -> None:
    """Adds the four commands; `command` makes one by its name and by what it does."""
    backup = command(commands, "backup", "copy the database of DATABASE_URL into one file, while it is used")
    backup.add_argument("file", metavar="FILE", type=Path, help="the new file")
    backup.add_argument("--replace", action="store_true", help=REPLACED)
    restore = command(commands, "restore", "put a backup into a new or empty database; stop the server first")
    restore.add_argument("file", metavar="FILE", type=Path, help="the backup, one that you made yourself")
    restore.add_argument("--replace", action="store_true", help=REPLACED)
    export = command(commands, "export", "write everything that is stored as plain files")
    export.add_argument("place", metavar="PLACE", type=Path, help=f"{PLACE}, not there yet")
    export.add_argument("--workshop", metavar="ID", help="only this workshop (default all)")
    bring_in = command(commands, "import", "store everything of an export, also in the other kind of database")
    bring_in.add_argument("place", metavar="PLACE", type=Path, help=PLACE)
