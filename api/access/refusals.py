"""Why a caller is turned away.

Refusal
├── NoKey           no key, or none that is known here
├── ScopeMissing    a key that may not do this
├── OriginRefused   a form's token used on a page that it is not bound to
└── TooOften        more requests than the key may send
"""

from __future__ import annotations

from collections.abc import Iterable


class Refusal(Exception):
    """The root of what keeps callers out."""


class NoKey(Refusal):
    """No key, or none that is known here; `presented` tells whether anything was sent."""

    def __init__(self, *, presented: bool) -> None:
        self.presented = presented
        if presented:
            text = "This key is not known here: it was never made, has been revoked, or has expired."
        else:
            text = "Send a key with the header Authorization: Bearer sw_…"
        super().__init__(text)


class ScopeMissing(Refusal):
    """A caller that may not do this; `needed` is the scope that a key would need."""

    def __init__(self, needed: str, has: Iterable[str]) -> None:
        self.needed, self.has = needed, tuple(has)
        super().__init__(f"This needs a key with the scope {needed}; this one has {', '.join(self.has)}.")


class OriginRefused(Refusal):
    """A form's token on a page of an origin that it is not bound to."""

    def __init__(self, origin: str) -> None:
        self.origin = origin
        super().__init__("This order form is not meant for the page that it was asked from; add its origin to a form.")


class TooOften(Refusal):
    """More requests than a caller may send; `wait` is how many seconds until the next may be sent."""

    def __init__(self, wait: int, each_minute: int) -> None:
        self.wait = wait
        super().__init__(f"{each_minute} requests a minute may be sent; the next one in {wait} s.")
