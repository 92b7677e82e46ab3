"""Everything that is stored as plain files, and back, between databases of both kinds."""

from __future__ import annotations

import json
import shutil
import zipfile
from pathlib import Path
from typing import Any

import pytest

from api.operations.archives import name_fault
from api.storage.archive.faults import ArchiveError, NotWhole, Refused
from api.storage.archive.index import Index, sum_of
from api.storage.archive.reading import bring_in
from api.storage.archive.writing import export
from api.storage.database import Database
from api.storage.workshops import HOUSE, ensure_house
from tests.storage.conftest import KINDS, New
from tests.storage.furniture import Contents, contents, furnish
from tests.storage.support import connected, migrated, rows, with_database


@pytest.fixture
def furnished(url: str) -> str:
    """A database with two workshops, and two rows in every table."""
    migrated(url)
    for mark in ("one", "Two"):
        connected(url, lambda connection, mark=mark: furnish(connection, mark))  # type: ignore[misc]
    return url


def written(url: str, place: Path, workshop: str | None = None) -> Index:
    return with_database(url, lambda database: export(database, place, workshop))


def read(url: str, place: Path) -> Index:
    return with_database(url, lambda database: bring_in(database, place, name_fault))


def held(url: str) -> Contents:
    return connected(url, contents)


@pytest.mark.parametrize("name", ["folder", "packed.zip"])
def test_what_goes_there_and_back_is_the_same(furnished: str, kind: str, new: New, tmp_path: Path, name: str) -> None:
    """SQLite to PostgreSQL to SQLite, and the other way round."""
    other = migrated(new({"sqlite": "postgresql", "postgresql": "sqlite"}[kind]))
    back = migrated(new(kind))
    before = held(furnished)
    assert all(len(found) == 2 for found in before.values())
    written(furnished, tmp_path / f"1{name}")
    read(other, tmp_path / f"1{name}")
    written(other, tmp_path / f"2{name}")
    read(back, tmp_path / f"2{name}")
    assert held(back) == before
    assert files(tmp_path / f"1{name}") == files(tmp_path / f"2{name}")


def files(place: Path) -> Any:
    """All bytes of an archive."""
    if place.is_file():
        return place.read_bytes()
    return {file.relative_to(place).as_posix(): file.read_bytes() for file in place.rglob("*") if file.is_file()}


def test_documents_are_plain_files_named_by_their_ids(furnished: str, tmp_path: Path) -> None:
    index = written(furnished, tmp_path / "out")
    revision, document = rows(furnished, "SELECT id, document FROM revisions ORDER BY number")[0]
    found = [file for file in (tmp_path / "out").rglob("document.json") if file.parent.name == revision]
    assert [file.read_text() for file in found] == [document]
    assert index.rows["revisions"] == 2
    assert json.loads((tmp_path / "out" / "index.json").read_text())["rows"]["orders"] == 2
    modes = {file.stat().st_mode & 0o077 for file in (tmp_path / "out").rglob("*")}
    assert modes == {0}, "keys and customers are in it"


def test_one_workshop_leaves_the_others_out(furnished: str, new: New, tmp_path: Path) -> None:
    (workshop,) = rows(furnished, "SELECT id FROM workshops WHERE id LIKE 'one%'")[0]
    written(furnished, tmp_path / "out", workshop)
    target = migrated(new("sqlite"))
    read(target, tmp_path / "out")
    assert rows(target, "SELECT id FROM workshops") == [(workshop,)]
    assert all(len(found) == 1 for found in held(target).values())
    with pytest.raises(ArchiveError, match="no workshop"):
        written(furnished, tmp_path / "none", "nobody")


def test_a_workshop_that_has_only_been_opened_is_filled(furnished: str, new: New, tmp_path: Path) -> None:
    rename(furnished)
    written(furnished, tmp_path / "out")
    target = migrated(new("sqlite"))

    async def opened(database: Database) -> None:
        async with database.transaction() as session:
            await ensure_house(session)

    with_database(target, opened)
    read(target, tmp_path / "out")
    assert held(target) == held(furnished)
    with pytest.raises(ArchiveError, match="here already"):
        read(target, tmp_path / "out")
    assert held(target) == held(furnished)


def rename(url: str) -> None:
    """Adds the house, with nothing in it."""
    made = "INSERT INTO workshops (id, name, created_at) SELECT :id, 'Ours', min(created_at) FROM workshops"
    rows(url, made, id=HOUSE)


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive with one row of every table, made once."""
    folder = tmp_path_factory.mktemp("whole")
    url = migrated(f"sqlite+aiosqlite:///{folder / 'x.db'}")
    connected(url, furnish)
    written(url, folder / "out")
    return folder / "out"


@pytest.fixture
def archive(tmp_path: Path, whole: Path) -> Path:
    """A copy of it, to be changed."""
    return Path(shutil.copytree(whole, tmp_path / "out"))


def one(archive: Path, table: str, name: str = "row.json") -> Path:
    (found,) = [file for file in archive.rglob(name) if table in file.relative_to(archive).parts]
    return found


def refused(archive: Path, new: New, kinds: tuple[str, ...] = ("sqlite",)) -> ArchiveError:
    """Why an archive is not brought in; nothing of it is stored, on any of these kinds."""
    for kind in kinds:
        target = migrated(new(kind))
        with pytest.raises(ArchiveError) as why:
            read(target, archive)
        assert not any(held(target).values())
    return why.value


def test_an_archive_that_is_cut_short_is_refused_with_what_is_missing(archive: Path, new: New) -> None:
    gone = [one(archive, "grades", "proof.json"), one(archive, "revisions", "document.json")]
    for file in gone:
        file.unlink()
    found = refused(archive, new, KINDS)
    assert isinstance(found, NotWhole)
    assert found.missing == sorted(file.relative_to(archive).as_posix() for file in gone)
    assert all(path in str(found) for path in found.missing)


def test_an_archive_without_its_index_is_refused(archive: Path, new: New) -> None:
    (archive / "index.json").unlink()
    assert "index.json" in str(refused(archive, new))


def test_a_zip_file_that_is_cut_short_is_refused(archive: Path, new: New, tmp_path: Path) -> None:
    packed = Path(shutil.make_archive(str(tmp_path / "whole"), "zip", archive))
    packed.write_bytes(packed.read_bytes()[: packed.stat().st_size // 2])
    assert "ZIP" in str(refused(packed, new))


def test_files_that_were_changed_or_added_are_named(archive: Path, new: New) -> None:
    changed, added = one(archive, "grades", "document.json"), archive / "more.json"
    changed.write_text(changed.read_text() + " ")
    added.write_text("{}")
    found = refused(archive, new)
    assert isinstance(found, NotWhole)
    assert found.altered == [changed.relative_to(archive).as_posix()]
    assert found.strange == ["more.json"]


def summed_anew(archive: Path) -> None:
    """Has the index state what the files are now, as who forges them would."""
    found = json.loads((archive / "index.json").read_text())
    for path in found["files"]:
        size, digest = sum_of((archive / path).read_bytes())
        found["files"][path] = {"bytes": size, "sha256": digest}
    (archive / "index.json").write_text(json.dumps(found))


@pytest.mark.parametrize("table", ["revisions", "grades", "layouts"])
def test_a_document_that_is_not_the_one_it_is_named_by_is_refused(archive: Path, new: New, table: str) -> None:
    file = one(archive, table, "request.json" if table == "grades" else "document.json")
    file.write_text('{"other": true}')
    summed_anew(archive)
    found = refused(archive, new)
    assert isinstance(found, Refused)
    assert (found.path.split("/")[1], "its content has the name" in found.problem) == (table, True)


@pytest.mark.parametrize(
    ("table", "field", "value", "says"),
    [
        ("patterns", "name", "a\x00b", "cannot be kept"),
        ("patterns", "name", 5, "is 5"),
        ("patterns", "name", None, "null"),
        ("patterns", "created_at", "yesterday", "no time"),
        ("patterns", "created_at", "2025-01-01T00:00:00", "without its zone"),
        ("patterns", "colour", "red", "not known"),
        ("patterns", "workshop_id", "another", "belongs to"),
        ("patterns", "id", "another", "belongs to"),
        ("orders", "version", 2**31, "2147483648"),
        ("orders", "version", True, "true"),
        ("keys", "says", "x" * 201, "200 are the most"),
    ],
)
def test_a_field_that_no_database_should_hold_is_refused(
    archive: Path, new: New, table: str, field: str, value: Any, says: str
) -> None:
    (file,) = [found for found in archive.rglob("*.json") if found.parent.name == table]
    file.write_text(json.dumps({**json.loads(file.read_text()), field: value}))
    summed_anew(archive)
    found = refused(archive, new)
    assert isinstance(found, Refused)
    assert found.path == file.relative_to(archive).as_posix()
    assert says in found.problem


def test_rows_whose_pattern_is_missing_are_refused_as_a_whole(archive: Path, new: New) -> None:
    (file,) = [found for found in archive.rglob("*.json") if found.parent.name == "patterns"]
    file.unlink()
    found = json.loads((archive / "index.json").read_text())
    del found["files"][file.relative_to(archive).as_posix()]
    found["rows"]["patterns"] = 0
    (archive / "index.json").write_text(json.dumps(found))
    assert "contradicts itself" in str(refused(archive, new, KINDS))


def test_an_archive_of_another_version_says_what_to_do(archive: Path, new: New) -> None:
    found = json.loads((archive / "index.json").read_text())
    (archive / "index.json").write_text(json.dumps({**found, "version": "0001"}))
    assert "0001" in str(refused(archive, new))


def test_nothing_is_written_over(archive: Path, new: New, tmp_path: Path) -> None:
    url = migrated(new("sqlite"))
    before = files(archive)
    with pytest.raises(ArchiveError, match="there already"):
        written(url, archive)
    assert files(archive) == before
    (tmp_path / "x.zip").write_bytes(b"mine")
    with pytest.raises(ArchiveError, match="there already"):
        written(url, tmp_path / "x.zip")
    assert (tmp_path / "x.zip").read_bytes() == b"mine"


def test_a_zip_file_is_there_whole_or_not_at_all(tmp_path: Path, new: New, monkeypatch: pytest.MonkeyPatch) -> None:
    url = migrated(new("sqlite"))

    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(zipfile.ZipFile, "writestr", full)
    with pytest.raises(OSError, match="No space"):
        written(url, tmp_path / "x.zip")
    assert not list(tmp_path.glob("*.zip*")) + list(tmp_path.glob(".x*"))
