"""Moves a database between migrations.

`python -m api.storage.migrate "what changes"` writes a new migration from the difference between the tables
and a database that has all migrations so far.
"""

from __future__ import annotations

import sys
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, create_engine

MIGRATIONS = Path(__file__).parent / "migrations"


def upgrade(connection: Connection, to: str = "head") -> None:
    """Runs every migration up to the one named; the newest by default."""
    command.upgrade(_config(connection), to)


def downgrade(connection: Connection, to: str = "base") -> None:
    """Undoes every migration after the one named; all of them by default."""
    command.downgrade(_config(connection), to)


def check(connection: Connection) -> None:
    """Raises alembic's CommandError when the tables say something that no migration does."""
    command.check(_config(connection))


def main(arguments: list[str]) -> None:
    """Writes a new migration; its text is the one argument."""
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        upgrade(connection)
        command.revision(_config(connection), message=" ".join(arguments), autogenerate=True)


def _config(connection: Connection) -> Config:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


if __name__ == "__main__":
    main(sys.argv[1:])
