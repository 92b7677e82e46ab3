"""Sizes: which size of the pattern a grade, or a conflict, is about."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from grading.verify.document.options import chosen_options
from grading.verify.document.pattern import Head, named_request
from grading.verify.document.requests import Request
from grading.verify.printing.printed import printed_claim, shown
from grading.verify.verdict import Claim


def size_claims(head: Head, request: Request, size: Mapping[str, Any]) -> list[Claim]:
    """Return the claims about which size it is; a named one must be the pattern's."""
    claims = [
        printed_claim(f"size.{shown(key)}", size[key], "nothing", False)
        for key in size
        if key not in {"name", "request"}
    ]
    title = size.get("name")
    if title is None:
        return [*claims, printed_claim("size.name", None, "nothing", "name" in size)]
    written = named_request(head.document, title)
    if written is None:
        return [*claims, printed_claim("size.name", title, "a size of the pattern, or nothing", False)]
    # A size with other options speaks of another bag, which this one's reader may not know.
    same = chosen_options(head.document, written, f"sizes.{title}") == head.options
    same = same and head.request(written, f"sizes.{title}") == request
    right = f"the request of the size {shown(title)}"
    return [
        *claims,
        printed_claim("size.name", title, shown(title), True),
        printed_claim("size.request", size.get("request"), right, same),
    ]
