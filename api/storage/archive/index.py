"""The index of an archive: what belongs to it."""

from __future__ import annotations

import json
import zipfile
import zlib
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from api.storage.archive.faults import ArchiveError, NotWhole, Refused

if TYPE_CHECKING:
    from collections.abc import Mapping

    from api.storage.archive.places import Source

INDEX = "index.json"
FORMAT = 1


@dataclass(frozen=True)
class Index:
    """The version of the tables, the number of rows in each, and of each file its length in bytes and its SHA-256."""

    version: str
    rows: Mapping[str, int]
    files: Mapping[str, tuple[int, str]]

    def written(self) -> bytes:
        """The index as JSON; the order of files is that of their paths."""
        listed = {path: {"bytes": size, "sha256": digest} for path, (size, digest) in sorted(self.files.items())}
        head = {"format": FORMAT, "kind": "archive", "version": self.version, "rows": dict(self.rows)}
        return (json.dumps({**head, "files": listed}, ensure_ascii=False, indent=1) + "\n").encode()


def sum_of(content: bytes) -> tuple[int, str]:
    """What an index says of a file."""
    return len(content), sha256(content).hexdigest()


def read(source: Source) -> Index:
    """The index of an archive whose files are all there and as they were written. Raises ArchiveError."""
    paths = source.paths()
    if INDEX not in paths:
        raise ArchiveError(f"There is no {INDEX}: this is no archive, or one whose writing was broken off.")
    index = _index(source.read(INDEX))
    found = set(paths) - {INDEX}
    missing, strange = sorted(set(index.files) - found), sorted(found - set(index.files))
    altered = [path for path in sorted(found & set(index.files)) if _sum(source, path) != index.files[path]]
    if missing or altered or strange or len(paths) != len(set(paths)):
        raise NotWhole(missing, altered, strange)
    return index


def _sum(source: Source, path: str) -> tuple[int, str] | None:
    try:
        return sum_of(source.read(path))
    except (Refused, OSError, EOFError, RuntimeError, zipfile.BadZipFile, zlib.error):
        return None


def _index(content: bytes) -> Index:
    try:
        found: Any = json.loads(content)
        if (found["kind"], found["format"]) != ("archive", FORMAT):
            raise Refused(INDEX, f"it is of no kind that is known: format {found['format']} of {found['kind']}")
        files = {path: (int(each["bytes"]), str(each["sha256"])) for path, each in sorted(found["files"].items())}
        rows = {str(table): int(count) for table, count in found["rows"].items()}
        return Index(str(found["version"]), rows, files)
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError) as error:
        raise Refused(INDEX, "it cannot be read as an index") from error
