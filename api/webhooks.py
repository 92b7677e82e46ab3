"""The part of the description of the interface that the server asks of others: notifications, `webhooks` of OpenAPI."""

from __future__ import annotations

from typing import Any

from api.operations.events import EVENTS

SAYS = {
    "order.placed": "An order was placed",
    "order.state": "An order came into another state",
    "order.note": "A note was added to an order",
    "order.erased": "What was kept of a customer was erased",
}
HEADERS = {
    "webhook-id": ("The notification's id, the same however often it is sent: drop what you have had.", "string"),
    "webhook-timestamp": (
        "When this try was made, in seconds since 1970. Refuse what is older than minutes.",
        "integer",
    ),
    "webhook-signature": (
        "Signatures with spaces between, as in `v1,K5oZ…`: the HMAC-SHA256 of id, timestamp and body with full stops "
        "between, in base64. Two while a secret is being replaced; any one that is right will do.",
        "string",
    ),
}
PROMISE = (
    "Sent at least once, in no certain order, signed as Standard Webhooks 1.0.0 says. Answer 2xx within 20 seconds; "
    "anything else is tried again, ten times in a little over three days, and 410 disables the endpoint."
)


def webhooks() -> dict[str, Any]:
    """What is sent to endpoints, by event."""
    return {event: {"post": _told(event)} for event in EVENTS}


def _told(event: str) -> dict[str, Any]:
    return {
        "operationId": f"told_{event.replace('.', '_')}",
        "summary": SAYS[event],
        "description": PROMISE,
        "tags": ["Notifications"],
        "security": [],
        "parameters": [
            {"name": name, "in": "header", "required": True, "description": says, "schema": {"type": kind}}
            for name, (says, kind) in HEADERS.items()
        ],
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Told"}}},
        },
        "responses": {
            "204": {"description": "It was taken."},
            "410": {"description": "This endpoint is not there any more: it is disabled."},
        },
    }
