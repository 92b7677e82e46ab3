"""Origins: the scheme, host and port of a page, as browsers send them (RFC 6454, section 6.2)."""

from __future__ import annotations

import re

LONGEST = 255
_LABEL = r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?"
_HOST = rf"{_LABEL}(\.{_LABEL})*"
_PORT = r"(:(?P<port>[1-9][0-9]{0,4}))?"
_ORIGIN = re.compile(rf"(?P<scheme>https?)://(?P<host>{_HOST}|\[::1\]){_PORT}", re.ASCII)
LOOPBACK = ("localhost", "127.0.0.1", "[::1]")
USUAL_PORTS = {"http": "80", "https": "443"}


def fault_of(origin: str) -> str | None:
    """What is wrong with a text as an origin, with what would be right; None where nothing is."""
    found = _ORIGIN.fullmatch(origin) if len(origin) <= LONGEST else None
    if found is None:
        return "This is no origin. Write scheme and host in small letters, without a path, as in https://shop.example"
    if found["port"] is not None and (int(found["port"]) > 65535 or found["port"] == USUAL_PORTS[found["scheme"]]):
        return "Browsers do not send this port. Leave it out, or write one up to 65535 that is not the usual one."
    if found["scheme"] == "http" and found["host"] not in LOOPBACK:
        return "Anybody on the way can change such a page. Serve it by https, and write that."
    return None
