"""Secrets and signatures of Standard Webhooks 1.0.0 (https://www.standardwebhooks.com), the symmetric scheme `v1`.

A signature is the HMAC-SHA256 of `id.timestamp.body`, in base64. While a secret is being replaced there are two.
"""

from __future__ import annotations

import base64
import hmac
import secrets
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

PREFIX = "whsec_"
SECRET_BYTES = 32
"""The specification asks for 24 to 64."""


def new_secret() -> str:
    """A secret that nobody can guess, as it is handed out: `whsec_` and base64."""
    return PREFIX + base64.b64encode(secrets.token_bytes(SECRET_BYTES)).decode()


def signature(secret: str, name: str, timestamp: int, body: bytes) -> str:
    """The signature of one message, as in `v1,K5oZ…`; the secret is as it was handed out."""
    key = base64.b64decode(secret.removeprefix(PREFIX), validate=True)
    signed = b".".join((name.encode(), str(timestamp).encode(), body))
    return f"v1,{base64.b64encode(hmac.digest(key, signed, 'sha256')).decode()}"


def headers(keys: Iterable[str], name: str, at: datetime, body: bytes) -> Mapping[str, str]:
    """What is sent beside a body: its name, when this try is made, and a signature for each secret."""
    timestamp = int(at.timestamp())
    return {
        "webhook-id": name,
        "webhook-timestamp": str(timestamp),
        "webhook-signature": " ".join(signature(key, name, timestamp, body) for key in keys),
    }
