"""Parameters that several handlers share."""

from __future__ import annotations

from typing import Annotated

from litestar.params import HeaderParameter, PathParameter, QueryParameter

from api.schemas.base import HASH_PATTERN, LIT_PATTERN, NAME_PATTERN, OPTIONS_PATTERN, STATE_PATTERN, UUID_PATTERN

MOST_ITEMS = 100
MOST_OFFSET = 1_000_000

DraftPath = Annotated[str, PathParameter(pattern=UUID_PATTERN, description="The draft's id.")]
PatternPath = Annotated[str, PathParameter(pattern=UUID_PATTERN, description="The pattern's id.")]
RevisionPath = Annotated[str, PathParameter(pattern=HASH_PATTERN, description="The revision's id.")]
GradePath = Annotated[str, PathParameter(pattern=HASH_PATTERN, description="The grade's id.")]
LayoutsPath = Annotated[str, PathParameter(pattern=HASH_PATTERN, description="The layouts' id.")]
JobPath = Annotated[str, PathParameter(pattern=UUID_PATTERN, description="The job's id.")]
QuotePath = Annotated[str, PathParameter(pattern=UUID_PATTERN, description="The quote's id.")]
OrderPath = Annotated[str, PathParameter(pattern=UUID_PATTERN, description="The order's id.")]
Limit = Annotated[int, QueryParameter(name="limit", ge=1, le=MOST_ITEMS, description="How many items to give at most.")]
Offset = Annotated[int, QueryParameter(name="offset", ge=0, le=MOST_OFFSET, description="How many items to pass over.")]
FromRevision = Annotated[
    str, QueryParameter(name="from", pattern=HASH_PATTERN, description="The revision to compare with, the older one.")
]
OfLayouts = Annotated[
    str | None,
    QueryParameter(name="layouts", pattern=HASH_PATTERN, description="Layouts of this grade: lists the cloth too."),
]
AfterOrder = Annotated[
    str | None,
    QueryParameter(name="after", pattern=UUID_PATTERN, description="The last order of the part before, its `next`."),
]
OrderState = Annotated[
    str | None,
    QueryParameter(name="state", pattern=STATE_PATTERN, description="The state of the orders that are wanted."),
]
Cloth = Annotated[
    str | None,
    QueryParameter(name="cloth", pattern=NAME_PATTERN, max_length=60, description="The one cloth to be drawn."),
]
Lit = Annotated[
    str | None,
    QueryParameter(name="lit", pattern=LIT_PATTERN, description="What is lit, as in `seam:side` or `edge:panel.top`."),
]
Options = Annotated[
    str | None,
    QueryParameter(
        name="option",
        pattern=OPTIONS_PATTERN,
        description="Choices of the pattern's options, as in `front:none,closure:zip`; others are as usual.",
    ),
]
Accept = Annotated[str | None, HeaderParameter(name="Accept", description="The formats that are wanted.")]
IfMatch = Annotated[
    str | None, HeaderParameter(name="If-Match", description="The head that the change was made from, as its ETag.")
]
IfNoneMatch = Annotated[
    str | None, HeaderParameter(name="If-None-Match", description="Tags of the states that are at hand already.")
]
IdempotencyKey = Annotated[
    str | None,
    HeaderParameter(
        name="Idempotency-Key",
        description="A key of one's own in quotes, the same whenever the same order is sent: it is placed once.",
    ),
]
OrderIfMatch = Annotated[
    str | None, HeaderParameter(name="If-Match", description="The ETag of the order as it was read.")
]
Prefer = Annotated[
    str | None,
    HeaderParameter(
        name="Prefer", description="`wait=N`: how many seconds to wait for what takes long, else `respond-async`."
    ),
]
