"""Keys and tokens as text: made, read, compared.

`sw_NAME_SECRET` is a workshop's key, `swf_NAME_SECRET` the token of an order form. The name is public and finds the
row; the secret is 256 random bits. Only the SHA-256 of the secret is stored: a slow hash is for passwords, which can be
guessed one by one, and 2^256 secrets cannot.
"""

from __future__ import annotations

import hmac
import re
import secrets
from dataclasses import dataclass
from hashlib import sha256
from typing import Literal

Kind = Literal["sw", "swf"]
WORKSHOP_KEY: Kind = "sw"
FORM_SIGN: Kind = "swf"
NAME_BYTES, SECRET_BYTES = 8, 32
NAME_PATTERN = r"^[0-9a-f]{16}$"
_WRITTEN = re.compile(r"(?P<kind>swf?)_(?P<name>[0-9a-f]{16})_(?P<secret>[A-Za-z0-9_-]{43})", re.ASCII)
_BEARER = re.compile(r"bearer +(?P<token>[A-Za-z0-9._~+/-]+=*)", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True)
class Credential:
    """A key or a token, taken apart. Its `repr` does not tell the secret."""

    kind: Kind
    name: str
    secret: str

    def __repr__(self) -> str:
        return f"Credential({self.kind}_{self.name}_…)"

    def written(self) -> str:
        """As it is handed out, once, and sent with every request."""
        return f"{self.kind}_{self.name}_{self.secret}"

    def digest(self) -> str:
        """What is stored of the secret: its SHA-256, in hexadecimal digits."""
        return sha256(self.secret.encode()).hexdigest()


def new(kind: Kind) -> Credential:
    """A key or token that nobody can guess."""
    return Credential(kind, secrets.token_hex(NAME_BYTES), secrets.token_urlsafe(SECRET_BYTES))


def read(text: str) -> Credential | None:
    """A key or token as it was written; None for any other text."""
    found = _WRITTEN.fullmatch(text)
    if found is None:
        return None
    return Credential(FORM_SIGN if found["kind"] == FORM_SIGN else WORKSHOP_KEY, found["name"], found["secret"])


def bearer(header: str) -> Credential | None:
    """The key or token of a header `Authorization: Bearer …` (RFC 6750, section 2.1); None where it holds none."""
    found = _BEARER.fullmatch(header.strip())
    return None if found is None else read(found["token"])


def matches(credential: Credential, stored: str | None) -> bool:
    """Whether the secret is the one that was stored, in a time that tells nothing of how much of it is right.

    Where nothing is stored under the name the same work is done, and the answer is no.
    """
    alike = hmac.compare_digest(credential.digest(), stored or "0" * 64)
    return alike and stored is not None
