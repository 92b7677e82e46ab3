"""Addresses of endpoints as they are written: what may stand there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from ipaddress import ip_address
from urllib.parse import urlsplit

from api.notifying.hosts import is_public

MOST_LETTERS = 2000
LETTERS = re.compile(r"[\x21\x23-\x3b\x3d\x3f-\x5b\x5d\x5f\x61-\x7a\x7e]+", re.ASCII)
"""What RFC 3986 lets stand in a URI; no spaces, quotes, angles, backslashes."""
HOST = re.compile(r"[A-Za-z0-9]([A-Za-z0-9.-]{0,251}[A-Za-z0-9])?\.?", re.ASCII)
LOCAL = ("localhost", "local", "internal", "home.arpa")
PORTS = {"https": 443, "http": 80}


class UnusableTarget(ValueError):
    """An address that cannot be notified; `remedy` says what could."""

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem, self.remedy = problem, remedy
        super().__init__(f"{problem} {remedy}")


@dataclass(frozen=True)
class Target:
    """An address taken apart: the scheme, whom to ask, and for what."""

    scheme: str
    host: str
    port: int
    path: str

    @property
    def authority(self) -> str:
        """The host as the header Host has it (RFC 9110, 7.2)."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return host if self.port == PORTS[self.scheme] else f"{host}:{self.port}"

    @property
    def is_literal(self) -> bool:
        """Whether the host is written as a number."""
        return _literal(self.host)


def read_target(url: str, *, private: bool) -> Target:
    """The address; raises UnusableTarget for one that must not be notified, as far as its letters tell.

    What the host's name leads to is judged when it is asked. With `private`, http and private hosts will do.
    """
    if len(url) > MOST_LETTERS or LETTERS.fullmatch(url) is None:
        raise UnusableTarget(
            "This is no address of the web.", "Write it in ASCII, as in https://shop.example/sizewright."
        )
    schemes = ("https", "http") if private else ("https",)
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError:
        raise UnusableTarget("Host or port cannot be read.", "Write them as in https://shop.example:8443/x.") from None
    if parts.scheme not in schemes:
        raise UnusableTarget(f"This is not {' or '.join(schemes)}.", "Notifications go to https:// addresses.")
    if "@" in parts.netloc or parts.fragment or "#" in url:
        raise UnusableTarget("A name, a password or a # stands in it.", "Leave it out: notifications are signed.")
    host = parts.hostname or ""
    if not (_literal(host) or HOST.fullmatch(host)) or port == 0:
        raise UnusableTarget("It has no host that can be asked.", "Write a host, as in https://shop.example/x.")
    if not private and _is_inside(host):
        raise UnusableTarget("Its host is not public.", "Notifications go to hosts that everybody can reach.")
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return Target(parts.scheme, host, PORTS[parts.scheme] if port is None else port, path)


def _literal(host: str) -> bool:
    try:
        ip_address(host)
    except ValueError:
        return False
    return True


def _is_inside(host: str) -> bool:
    if _literal(host):
        return not is_public(ip_address(host))
    name = host.rstrip(".")
    return "." not in name or any(name == local or name.endswith(f".{local}") for local in LOCAL)
