"""Scopes: what a key or a form's token may do, and what a handler asks of its caller.

A handler states its scope in `opt=asks(...)`, or its controller for it; one that states none is closed to everybody.

| a handler's scope | keys that may | also |
|---|---|---|
| OPEN | anybody, without a key | |
| SIGNED_IN | every key | every form's token |
| FORM | order, design | a form's token, for its own pattern; read, where nothing is changed |
| ORDER | order, design | read, where nothing is changed |
| READ | read, design | |
| DESIGN | design | |
| KEYS | keys | |
"""

from __future__ import annotations

from typing import Final, Literal

OPEN, SIGNED_IN = "open", "signed-in"
FORM = "form"
READ: Final = "read"
ORDER: Final = "order"
DESIGN: Final = "design"
KEYS: Final = "keys"
HANDLER_SCOPES = (OPEN, SIGNED_IN, FORM, READ, ORDER, DESIGN, KEYS)
KeyScope = Literal["read", "order", "design", "keys"]
KEY_SCOPES: tuple[KeyScope, ...] = (READ, ORDER, DESIGN, KEYS)
"""What a key can have, from the least to the most; a key may have several."""
GRANTED_BY = {
    FORM: frozenset({FORM, ORDER, DESIGN}),
    READ: frozenset({READ, DESIGN}),
    ORDER: frozenset({ORDER, DESIGN}),
    DESIGN: frozenset({DESIGN}),
    KEYS: frozenset({KEYS}),
}
LOOKED_AT = (FORM, ORDER)
"""The scopes whose handlers a key that may only read may ask with GET."""


def asks(scope: str) -> dict[str, str]:
    """What a handler, or all of a controller, states in `opt`."""
    return {"scope": scope}


def granting(scope: str, method: str) -> frozenset[str]:
    """The scopes of which any one lets a caller in, for a method of HTTP; empty for a scope that is not known."""
    enough = GRANTED_BY.get(scope, frozenset())
    return enough | {READ} if scope in LOOKED_AT and method in ("GET", "HEAD") else enough


def needed(scope: str) -> str:
    """The least scope of a key that a handler's scope asks for."""
    return ORDER if scope == FORM else scope


def in_order(scopes: frozenset[str]) -> tuple[KeyScope, ...]:
    """The scopes of a key in their order."""
    return tuple(scope for scope in KEY_SCOPES if scope in scopes)
