"""The answer to a batch as JSON lines, packed for the way from a worker to the server."""

from __future__ import annotations

import base64
import zlib
from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from grading.batch import BatchResult

ROWS = 1000
"""Rows between two looks at the clock."""
QUICK = 1
"""The level of compression: rows are much alike, so that the quickest makes a tenth of them."""
CHUNK = 64 * 1024
"""Bytes that are sent at a time."""
BETWEEN = "."
"""Stands between packed texts, since base 64 has none (RFC 4648, section 4)."""


def packed(result: BatchResult, stop: Callable[[], bool], first: int = 0) -> str | None:
    """The lines, packed, rows counted from `first`; None if there was no time for them."""
    encoder, packer, parts = msgspec.json.Encoder(), zlib.compressobj(QUICK), []
    for start in range(0, len(result), ROWS):
        if stop():
            return None
        found = result.lines(start, start + ROWS)
        lines = b"".join(encoder.encode({**line, "row": line["row"] + first}) + b"\n" for line in found)
        parts.append(packer.compress(lines))
    return base64.b64encode(b"".join([*parts, packer.flush()])).decode("ascii")


def joined(texts: Iterable[str]) -> str:
    """Packed lines that follow each other as one text."""
    return BETWEEN.join(texts)


def unpacked(text: str) -> Iterator[bytes]:
    """The bytes of the lines, some at a time."""
    for part in text.split(BETWEEN):
        unpacker, waiting = zlib.decompressobj(), base64.b64decode(part)
        while waiting and not unpacker.eof:
            yield unpacker.decompress(waiting, CHUNK)
            waiting = unpacker.unconsumed_tail
        yield unpacker.flush()
