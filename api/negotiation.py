"""What a request wants and already has.

Formats by Accept and states by ETag (RFC 9110, sections 8.8, 12.5, 13.1), and how long to wait by Prefer (RFC 7240).
"""

from __future__ import annotations

import re
from hashlib import sha256
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

_TAG = re.compile(r'(?P<weak>W/)?"(?P<value>[\x21\x23-\x7e\x80-\xff]*)"')
_PREFERENCE = re.compile(
    r'\s*(?P<name>[!#$%&\'*+.^_`|~0-9A-Za-z-]+)\s*(=\s*(?P<quote>"?)(?P<value>[^";,]*)(?P=quote))?\s*(;.*)?'
)
_SECONDS = re.compile(r"[0-9]{1,9}", re.ASCII)
_WEIGHT = re.compile(r"^(0(\.\d{0,3})?|1(\.0{0,3})?)$")


class NotAcceptable(Exception):
    """None of the offered formats is wanted; the text lists those that can be given."""


def strong_tag(value: str) -> str:
    """An entity tag around a value that holds no quotes."""
    return f'"{value}"'


def content_tag(content: bytes) -> str:
    """The entity tag of a representation, by its bytes."""
    return strong_tag(sha256(content).hexdigest())


def holds(header: str | None, tag: str) -> bool:
    """Whether If-None-Match names the state that the tag stands for; weak tags count."""
    return header is not None and (header.strip() == "*" or tag.strip('"') in [value for _, value in _tags(header)])


def held_state(header: str | None, current: str) -> str | None:
    """The state that If-Match asks for, which is `current` for `*`; only strong tags count.

    Of several tags the current one is taken if it is among them, else the first. None without a header.
    """
    if header is None or not header.strip():
        return None
    if header.strip() == "*":
        return current
    strong = [value for weak, value in _tags(header) if not weak]
    return current if current in strong else next(iter(strong), "")


def preferred(accept: str | None, offered: Sequence[str]) -> str:
    """The offered format that Accept weighs highest, the first offered on a tie; raises NotAcceptable."""
    if accept is None or not accept.strip():
        return offered[0]
    ranges = [_range(part) for part in accept.split(",") if part.strip()]
    weights = [_weight(media_type, ranges) for media_type in offered]
    if not weights or max(weights) <= 0:
        raise NotAcceptable(f"This can be given as {' or '.join(offered)}.")
    return offered[weights.index(max(weights))]


def preferred_wait(header: str | None, most: int) -> int | None:
    """How many whole seconds Prefer would wait for an answer, at most `most`; 0 for `respond-async` alone.

    None where it says nothing of it. What cannot be read is passed over, and of two the first counts (RFC 7240,
    section 2).
    """
    found: dict[str, str] = {}
    for part in (header or "").split(","):
        preference = _PREFERENCE.fullmatch(part)
        if preference is not None:
            found.setdefault(preference["name"].lower(), (preference["value"] or "").strip())
    if _SECONDS.fullmatch(found.get("wait", "")):
        return min(int(found["wait"]), most)
    return 0 if "respond-async" in found else None


def _tags(header: str) -> list[tuple[bool, str]]:
    return [(bool(found["weak"]), found["value"]) for found in _TAG.finditer(header)]


def _range(part: str) -> tuple[str, float]:
    name, *parameters = (piece.strip().lower() for piece in part.split(";"))
    weight = next((value for key, _, value in (one.partition("=") for one in parameters) if key.strip() == "q"), "1")
    return name, float(weight) if _WEIGHT.match(weight.strip()) else 0.0


def _weight(media_type: str, ranges: Sequence[tuple[str, float]]) -> float:
    kinds = (media_type, f"{media_type.partition('/')[0]}/*", "*/*")
    for kind in kinds:
        weights = [weight for name, weight in ranges if name == kind]
        if weights:
            return max(weights)
    return 0.0
