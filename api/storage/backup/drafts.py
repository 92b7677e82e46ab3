"""Files that are there whole, or not at all."""

from __future__ import annotations

import os
from contextlib import contextmanager
from typing import TYPE_CHECKING
from uuid import uuid4

from api.storage.backup.faults import BackupError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@contextmanager
def draft_of(file: Path, *, replace: bool) -> Iterator[Path]:
    """A file beside it, for its owner alone, that takes its name when the block ends well. Raises BackupError."""
    if file.exists() and not replace:
        raise BackupError(f"{file} is there already; choose another name, or say --replace.")
    draft = file.with_name(f".{file.name}.{uuid4().hex}")
    try:
        os.close(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        yield draft
        with draft.open("rb") as written:
            os.fsync(written.fileno())
        draft.replace(file)
    finally:
        draft.unlink(missing_ok=True)
