"""How the server and its workers speak: a length in eight bytes, then that much JSON, on plain pipes.

JSON keeps the two apart: a worker that went wrong can hand back nothing but data.

- A worker that is ready says `{"ready": true}`.
- It is asked `{"task": name, "seconds": limit, "arguments": {...}}`.
- Of a long task it may say `{"progress": value}` any number of times.
- It answers one of `{"done": value}`, `{"refused": {"kind": name, ...}}` and `{"failed": types and places}`.
"""

from __future__ import annotations

import json
from typing import Any

HEADER = 8
MOST_BYTES = 256 * 1024 * 1024


class UnreadableMessage(Exception):
    """What came through the pipe is no message."""


def encode(message: dict[str, Any]) -> bytes:
    """The bytes of a message, its length first."""
    body = written(message)
    return len(body).to_bytes(HEADER, "big") + body


def written(message: dict[str, Any]) -> bytes:
    """The bytes of a message alone."""
    return json.dumps(message, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")


def length(header: bytes) -> int:
    """The length that a header announces; raises UnreadableMessage beyond what any message has."""
    announced = int.from_bytes(header, "big")
    if announced > MOST_BYTES:
        raise UnreadableMessage(f"A message of {announced} bytes is announced.")
    return announced


def decode(body: bytes) -> dict[str, Any]:
    """The message in these bytes; raises UnreadableMessage when there is none."""
    try:
        message = json.loads(body.decode("utf-8", "surrogatepass"))
    except ValueError as error:
        raise UnreadableMessage(str(error)) from error
    if not isinstance(message, dict):
        raise UnreadableMessage("A message is an object.")
    return message
