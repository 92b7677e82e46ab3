"""Printed booklets, as PDF."""

from __future__ import annotations

from typing import Annotated, Any

from litestar import Controller, Response, get
from litestar.params import QueryParameter

from api.access.scopes import READ, asks
from api.negotiation import content_tag, preferred
from api.operations import booklets
from api.problems import documented
from api.query import LAYOUTS, Parameter
from api.resources.answers import ETAG, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.parameters import Accept, GradePath, IfNoneMatch, OfLayouts, PatternPath, RevisionPath

PDF = "application/pdf"
USUAL_PAPER, USUAL_LAYING = "A4", "quick"

PaperParameter = Annotated[
    str | None,
    QueryParameter(name="paper", pattern=r"^(A4|letter)$", description="The paper: `A4`, the usual one, or `letter`."),
]
Lay = Annotated[
    str | None,
    QueryParameter(
        name="lay",
        pattern=r"^(quick|none)$",
        description="`quick`, as usual: each size is laid out on every cloth; `none`: the booklet is without layouts.",
    ),
]
PAPER = Parameter(r"(A4|letter)", "No booklet is made for paper of this name.", "Write A4 or letter.")
LAYING = Parameter(r"(quick|none)", "Sizes cannot be laid out in this way.", "Write quick or none.")
DISPOSITION = {"Content-Disposition": 'inline; filename="booklet.pdf"'}


class BookletController(Controller):
    """Booklets, which are set anew each time and always come out the same."""

    tags = ("Grades",)
    opt = asks(READ)

    @get(
        "/grades/{grade_id:str}/booklet",
        operation_id="readBooklet",
        summary="Print the booklet of a grade",
        responses=documented("not-acceptable", "faults", "grade-outdated", "busy", "out-of-time"),
        response_headers=[ETAG],
        opt={"query": {"paper": PAPER, "layouts": LAYOUTS}},
        media_type=PDF,
    )
    async def of_grade(
        self,
        bench: AtBench,
        grade_id: GradePath,
        paper: PaperParameter = None,
        layouts: OfLayouts = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[bytes]:
        """Sets one size as a booklet: supplies, cut list, pieces, steps, size chart; with layouts these and the cloth.

        All measures are of one system, that of the pattern's edition.
        """
        preferred(accept, (PDF,))
        content = await booklets.of_grade(bench, grade_id, paper or USUAL_PAPER, layouts)
        return _printed(content, if_none_match)

    @get(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/booklet",
        operation_id="readWholeBooklet",
        summary="Print the booklet of all sizes",
        responses=documented("not-acceptable", "faults", "conflict", "ruler-out-of-reach", "busy", "out-of-time"),
        response_headers=[ETAG],
        opt={"query": {"paper": PAPER, "lay": LAYING}},
        media_type=PDF,
    )
    async def of_revision(
        self,
        bench: AtBench,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
        paper: PaperParameter = None,
        lay: Lay = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[bytes]:
        """Sets all named sizes as one booklet, a chapter to each; those that cannot be made are told in its chart."""
        preferred(accept, (PDF,))
        laid = (lay or USUAL_LAYING) == "quick"
        content = await booklets.of_revision(bench, pattern_id, revision_id, paper or USUAL_PAPER, lay=laid)
        return _printed(content, if_none_match)


def _printed(content: bytes, if_none_match: str | None) -> Response[Any]:
    return conditional(raw(content, PDF, DISPOSITION), content_tag(content), if_none_match)
