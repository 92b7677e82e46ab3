"""How the description of the interface tells who may ask what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from litestar.handlers import HTTPRouteHandler

from api.access.scopes import FORM, OPEN, SIGNED_IN, needed
from api.problems import KINDS, MEDIA_TYPE

if TYPE_CHECKING:
    from litestar import Litestar

KEY_SCHEME, FORM_SCHEME = "key", "formToken"
SCHEMES = {
    KEY_SCHEME: {
        "type": "http",
        "scheme": "bearer",
        "description": "A workshop's key, sw_… (RFC 6750). The name beside it is the scope that it needs: read, "
        "order, design or keys; design has all that order and read have, and read may GET what order may.",
    },
    FORM_SCHEME: {
        "type": "http",
        "scheme": "bearer",
        "description": "The token of an order form, swf_…, bound to one pattern and to the origins of pages.",
    },
}
REFUSALS = {
    "401": (("no-key",), {"WWW-Authenticate": "The scheme that is asked for, Bearer."}),
    "403": (("scope-missing", "origin-refused"), {"WWW-Authenticate": "The scope that is needed."}),
    "429": (("too-many-requests",), {"Retry-After": "Seconds to wait before another try."}),
}


def stated_scopes(app: Litestar) -> dict[str, str]:
    """The scope that each described handler states, by the name of its operation."""
    handlers = (handler for route in app.routes for handler in getattr(route, "route_handlers", ()))
    return {
        str(handler.operation_id): str(handler.opt.get("scope"))
        for handler in handlers
        if isinstance(handler, HTTPRouteHandler) and handler.operation_id is not None
    }


def secure(operation: dict[str, Any], scope: str) -> None:
    """Writes into an operation's description which keys and tokens it takes, and how others are turned away."""
    if scope == OPEN:
        operation["security"] = []
        return
    operation["security"] = [{KEY_SCHEME: [] if scope == SIGNED_IN else [needed(scope)]}]
    if scope in (FORM, SIGNED_IN):
        operation["security"].append({FORM_SCHEME: []})
    responses = operation["responses"]
    for status, (kinds, headers) in REFUSALS.items():
        responses[status] = {
            "description": " ".join(f"{KINDS[kind].title}. {KINDS[kind].says}" for kind in kinds),
            "headers": {name: {"description": says, "schema": {"type": "string"}} for name, says in headers.items()},
            "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        }
    operation["responses"] = dict(sorted(responses.items()))
