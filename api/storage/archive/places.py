"""Where the files of an archive lie: in a folder, or in a ZIP file."""

from __future__ import annotations

import os
import zipfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Protocol
from uuid import uuid4

from api.storage.archive.faults import ArchiveError, Refused

if TYPE_CHECKING:
    from collections.abc import Iterator

ZIP = ".zip"
EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first time that a ZIP file can hold; always the same, so that the bytes depend on the content alone."""
LARGEST_FILE = 256 * 1024 * 1024
OWNER_ONLY = 0o600


class Target(Protocol):
    """Takes the files of an archive."""

    def write(self, path: str, content: bytes) -> None:
        """Writes one file."""


class Source(Protocol):
    """Gives the files of an archive."""

    def paths(self) -> list[str]:
        """The paths of all files."""

    def read(self, path: str) -> bytes:
        """One file; raises Refused."""


@contextmanager
def target(place: Path) -> Iterator[Target]:
    """A new archive, readable by its owner alone; it is there when the block has ended well. Raises ArchiveError."""
    zipped = place.suffix.lower() == ZIP
    if place.exists() and (zipped or not place.is_dir() or any(place.iterdir())):
        raise ArchiveError(f"{place} is there already; choose another name, or a folder that is empty.")
    draft = place.with_name(f".{place.name}.{uuid4().hex}") if zipped else place
    if not zipped:
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        yield _FolderTarget(place)
        return
    try:
        opened = os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY), "wb")
        with opened, zipfile.ZipFile(opened, "w") as packed:
            yield _ZipTarget(packed)
        draft.replace(place)
    finally:
        draft.unlink(missing_ok=True)


@contextmanager
def source(place: Path) -> Iterator[Source]:
    """An archive that is there; raises ArchiveError."""
    if place.is_dir():
        yield _FolderSource(place)
        return
    try:
        with zipfile.ZipFile(place) as packed:
            yield _ZipSource(packed)
    except (zipfile.BadZipFile, NotImplementedError) as error:
        raise ArchiveError(f"{place} is neither a folder nor a whole ZIP file: {error}") from error


class _FolderTarget:
    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def write(self, path: str, content: bytes) -> None:
        file = self._folder / path
        for folder in reversed(Path(path).parents):
            (self._folder / folder).mkdir(mode=0o700, exist_ok=True)
        with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY), "wb") as opened:
            opened.write(content)


class _ZipTarget:
    def __init__(self, packed: zipfile.ZipFile) -> None:
        self._packed = packed

    def write(self, path: str, content: bytes) -> None:
        entry = zipfile.ZipInfo(path, EARLIEST)
        entry.compress_type = zipfile.ZIP_DEFLATED
        entry.external_attr = OWNER_ONLY << 16
        self._packed.writestr(entry, content)


class _FolderSource:
    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def paths(self) -> list[str]:
        return [file.relative_to(self._folder).as_posix() for file in self._folder.rglob("*") if not file.is_dir()]

    def read(self, path: str) -> bytes:
        file = self._folder / path
        if file.is_symlink() or not file.is_file():
            raise Refused(path, "it is no plain file")
        if file.stat().st_size > LARGEST_FILE:
            raise Refused(path, f"it is larger than {LARGEST_FILE // 1024 // 1024} MB, the most that is read")
        return file.read_bytes()


class _ZipSource:
    def __init__(self, packed: zipfile.ZipFile) -> None:
        self._packed = packed

    def paths(self) -> list[str]:
        return [name for name in self._packed.namelist() if not name.endswith("/")]

    def read(self, path: str) -> bytes:
        if self._packed.getinfo(path).file_size > LARGEST_FILE:
            raise Refused(path, f"it is larger than {LARGEST_FILE // 1024 // 1024} MB, the most that is read")
        return self._packed.read(path)
