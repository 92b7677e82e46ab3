"""Files in a ZIP archive whose bytes are a function of the files alone."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The time of every entry: the earliest that the format can tell (APPNOTE.TXT of PKWARE, 4.4.6)."""
READABLE = 0o644 << 16
UNIX = 3
LEVEL = 6


def archive(files: Mapping[str, bytes]) -> bytes:
    """The files by their names, packed in this order; names are relative, with slashes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as target:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, EARLIEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = UNIX
            entry.external_attr = READABLE
            target.writestr(entry, content, compresslevel=LEVEL)
    return packed.getvalue()
