from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from api import VERSION
from api.settings import Settings, UnusableSetting, sqlite_file


def test_without_an_environment_everything_has_a_default() -> None:
    assert Settings.from_environment({}) == Settings()


def test_the_environment_changes_what_it_names() -> None:
    given = {"DATABASE_URL": "sqlite:////data/bags.db", "SIZEWRIGHT_PORT": "9000", "SIZEWRIGHT_TIME_LIMIT": "5"}
    settings = Settings.from_environment(given)
    assert settings.database_url == "sqlite+aiosqlite:////data/bags.db"
    assert (settings.port, settings.time_limit) == (9000, 5.0)


def test_a_postgresql_address_gets_its_asynchronous_driver() -> None:
    settings = Settings.from_environment({"DATABASE_URL": "postgresql://user@host/bags"})
    assert settings.database_url == "postgresql+asyncpg://user@host/bags"


@pytest.mark.parametrize("port", ["-1", "70000", "x", "1e3", "9" * 5000, "²"])
def test_a_number_that_cannot_be_used_is_named(port: str) -> None:
    with pytest.raises(UnusableSetting, match="SIZEWRIGHT_PORT"):
        Settings.from_environment({"SIZEWRIGHT_PORT": port})


def test_the_file_of_a_database_is_known_only_where_there_is_one() -> None:
    assert sqlite_file("sqlite+aiosqlite:////data/bags.db") == Path("/data/bags.db")
    assert sqlite_file("sqlite+aiosqlite:///bags.db?timeout=5") == Path("bags.db")
    assert sqlite_file("sqlite+aiosqlite://") is None
    assert sqlite_file("postgresql+asyncpg://user@host/bags") is None


def test_the_server_and_the_package_have_one_version() -> None:
    project = Path(__file__).parents[2] / "pyproject.toml"
    assert tomllib.loads(project.read_text())["project"]["version"] == VERSION
