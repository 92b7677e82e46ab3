"""How answers are put together: stored JSON as it is, tags, conditions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from litestar import Response
from litestar.datastructures import ResponseHeader

from api.negotiation import content_tag, holds, preferred

if TYPE_CHECKING:
    from collections.abc import Mapping

JSON = "application/json"
CSV = "text/csv"

ETAG = ResponseHeader(
    name="ETag", documentation_only=True, value="", description="The state of what was sent, a strong tag."
)
LOCATION = ResponseHeader(name="Location", documentation_only=True, value="", description="Where it lies.")
VARY = ResponseHeader(name="Vary", documentation_only=True, value="", description="What the choice of format hangs on.")


def raw(content: bytes, media_type: str = JSON, headers: Mapping[str, str] | None = None) -> Response[Any]:
    """Bytes that are sent exactly as they are."""
    return Response(content, media_type=media_type, headers=dict(headers or {}))


def conditional(answer: Response[Any], tag: str, if_none_match: str | None) -> Response[Any]:
    """The answer with its tag, or 304 without content when the client has that state already (RFC 9110, 15.4.5)."""
    answer.headers["ETag"] = tag
    answer.headers["Cache-Control"] = "private, no-cache"
    if not holds(if_none_match, tag):
        return answer
    # Bytes, since nothing cannot be written as every media type.
    return Response(b"", status_code=304, headers=answer.headers)


def chosen(forms: Mapping[str, bytes], accept: str | None, if_none_match: str | None) -> Response[Any]:
    """The form that Accept weighs highest, with its tag; raises NotAcceptable."""
    media_type = preferred(accept, list(forms))
    content = forms[media_type]
    return conditional(raw(content, media_type, {"Vary": "Accept"}), content_tag(content), if_none_match)
