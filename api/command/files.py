"""Reading JSON from files and writing it: with a limit, and with refusals that say what is wrong."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from api.body import ContentRefused, UnreadableBody, read_json
from api.settings import MEGABYTE

LARGEST = 10 * MEGABYTE
STANDARD_INPUT = "-"
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


class Unreadable(Exception):
    """A file that cannot be read, or written; the text says which and why."""


def read_file(name: str) -> dict[str, Any]:
    """The object that the JSON file holds; `-` is the standard input.

    The same rules hold as for the body of a request: at most 10 MB, UTF-8, names once each, numbers as typed,
    no deeper than 40 levels. Raises Unreadable for anything else.
    """
    content = _content(name).removeprefix(BYTE_ORDER_MARK)
    try:
        found = read_json(content)
    except UnreadableBody as error:
        raise Unreadable(f"{name} is not JSON. {error}") from error
    except ContentRefused as error:
        listed = "\n".join(f"  {fault.path}: {fault.problem} {fault.remedy}" for fault in error.faults)
        raise Unreadable(f"{name} cannot be taken as it is:\n{listed}") from error
    if not isinstance(found, dict):
        raise Unreadable(f"{name} holds a {type(found).__name__}, not an object with named fields.")
    return found


def read_text(name: str) -> str:
    """The text that the file holds, in UTF-8; `-` is the standard input. Raises Unreadable."""
    try:
        return _content(name).removeprefix(BYTE_ORDER_MARK).decode("utf-8")
    except UnicodeDecodeError as error:
        raise Unreadable(f"{name} is no text: byte {error.start} is not UTF-8.") from error


def write_json(path: Path, content: object) -> None:
    """Writes the content as JSON; raises Unreadable when that cannot be done."""
    write_text(path, to_json(content) + "\n")


def write_text(path: Path, content: str) -> None:
    """Writes the text in UTF-8; raises Unreadable when that cannot be done."""
    try:
        path.write_text(content, encoding="utf-8")
    except OSError as error:
        raise Unreadable(f"{path} cannot be written: {_reason(error)}") from error


def write_bytes(path: Path, content: bytes) -> None:
    """Writes the bytes; raises Unreadable when that cannot be done."""
    try:
        path.write_bytes(content)
    except OSError as error:
        raise Unreadable(f"{path} cannot be written: {_reason(error)}") from error


def to_json(content: object) -> str:
    """The content as JSON for people: one field a line."""
    return json.dumps(content, ensure_ascii=False, indent=1)


def _content(name: str) -> bytes:
    try:
        if name == STANDARD_INPUT:
            content = sys.stdin.buffer.read(LARGEST + 1)
        else:
            with Path(name).open("rb") as file:
                content = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        raise Unreadable(f"{name} cannot be read: {_reason(error)}") from error
    if len(content) > LARGEST:
        raise Unreadable(f"{name} is larger than {LARGEST // MEGABYTE} MB, the most that is read.")
    return content


def _reason(error: Exception) -> str:
    return (error.strerror if isinstance(error, OSError) else None) or str(error)
