"""Moves a database between migrations.

`python -m api.storage.migrate "what changes"` writes a new migration from the difference between the tables
and a database that has all migrations so far.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
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


def is_newest(connection: Connection) -> bool:
    """Whether every migration that there is has been run, and none besides."""
    return set(MigrationContext.configure(connection).get_current_heads()) == _heads()


def newest() -> str:
    """The name of the newest migration."""
    return ",".join(sorted(_heads()))


@cache
def known() -> tuple[str, ...]:
    """The names of all migrations, the first one first."""
    return tuple(script.revision for script in _scripts().walk_revisions())[::-1]


@cache
def _heads() -> set[str]:
    return set(_scripts().get_heads())


def _scripts() -> ScriptDirectory:
    with_scripts = Config()
    with_scripts.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    with_scripts.set_main_option("path_separator", "os")
    return ScriptDirectory.from_config(with_scripts)


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
