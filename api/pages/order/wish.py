"""What a customer has chosen, as the interface is asked for a quote."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from api.pages.order import lengths
from api.pages.order.fields import OWN, TRIED, Fields, tried_sizes


def wish_of(form: Mapping[str, Any], fields: Fields) -> dict[str, Any]:
    """The body of a request for a quote; the fields have no faults."""
    size = next(choice.value for choice in fields.sizes if choice.taken)
    wish: dict[str, Any] = {"quantity": int(fields.quantity)}
    if size == OWN:
        found = {measure.name: lengths.read(measure.typed, fields.unit) for measure in fields.measures}
        wish["measures"] = {name: lengths.sent(length) for name, length in found.items() if length is not None}
    elif size.startswith(TRIED):
        wish["measures"] = tried_sizes(form)[int(size.removeprefix(TRIED))]
    else:
        wish["size"] = size
    wish["options"] = {group.name: choice.value for group in fields.options for choice in group.choices if choice.taken}
    wish["cloths"] = {group.name: choice.value for group in fields.cloths for choice in group.choices if choice.taken}
    return wish
