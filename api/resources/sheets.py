"""Templates and cutting layouts on paper."""

from __future__ import annotations

from typing import Annotated, Any

from litestar import Controller, Response, get
from litestar.params import QueryParameter

from api.access.scopes import READ, asks
from api.negotiation import content_tag, preferred
from api.operations import sheets
from api.problems import documented
from api.query import Parameter
from api.resources.answers import ETAG, VARY, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.parameters import Accept, GradePath, IfNoneMatch, LayoutsPath, PatternPath, RevisionPath

PDF, SVG, DXF = "application/pdf", "image/svg+xml", "image/vnd.dxf"
FORMS = {PDF: "pdf", SVG: "svg", DXF: "dxf"}
PAPER_PATTERN = r"^(A4|A3|letter|roll-[0-9]{1,4}(\.[0-9]{1,2})?(mm|in))$"
CUT_PAPER_PATTERN = r"^(A4|A3|letter)$"
PIECES_PATTERN = r"^[a-z][a-z0-9_]{0,59}(,[a-z][a-z0-9_]{0,59}){0,99}$"
MEASURES_PATTERN, CORNERS_PATTERN = r"^(rectangles|none)$", r"^(large|none)$"

Paper = Annotated[
    str | None,
    QueryParameter(
        name="paper",
        pattern=PAPER_PATTERN,
        description="Of PDF: `A4`, the usual one, `A3`, `letter`, or a roll by its width, as in `roll-36in`.",
    ),
]
CutPaper = Annotated[
    str | None,
    QueryParameter(name="paper", pattern=CUT_PAPER_PATTERN, description="`A4`, the usual one, `A3` or `letter`."),
]
Pieces = Annotated[
    str | None,
    QueryParameter(
        name="pieces", pattern=PIECES_PATTERN, description="The pieces that are wanted, as in `panel,pocket`."
    ),
]
Measures = Annotated[
    str | None,
    QueryParameter(
        name="measures",
        pattern=MEASURES_PATTERN,
        description="`rectangles`: those with square corners are listed by measures, not drawn; usually `none`.",
    ),
]
Corners = Annotated[
    str | None,
    QueryParameter(
        name="corners",
        pattern=CORNERS_PATTERN,
        description="`large`: of rectangles larger than a page only the rounded corners are drawn; usually `none`.",
    ),
]
PAPER = Parameter(PAPER_PATTERN, "No paper is known by this name.", "Write A4, A3, letter or as in roll-36in.")
CUT_PAPER = Parameter(CUT_PAPER_PATTERN, "Layouts are not printed on this paper.", "Write A4, A3 or letter.")
PIECES = Parameter(PIECES_PATTERN, "These are no names of pieces.", "Write them as in panel,pocket.")
MEASURES = Parameter(MEASURES_PATTERN, "This cannot be given as measures.", "Write rectangles or none.")
CORNERS = Parameter(CORNERS_PATTERN, "Corners cannot be chosen so.", "Write large or none.")
QUERY = {"paper": PAPER, "pieces": PIECES, "measures": MEASURES, "corners": CORNERS}


class SheetController(Controller):
    """Sheets, which are drawn anew each time and always come out the same."""

    tags = ("Grades",)
    opt = asks(READ)

    @get(
        "/grades/{grade_id:str}/sheets",
        operation_id="readSheets",
        summary="Print the templates of a grade",
        responses=documented("not-acceptable", "faults", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
        opt={"query": QUERY},
        media_type=PDF,
    )
    async def of_grade(
        self,
        bench: AtBench,
        grade_id: GradePath,
        paper: Paper = None,
        pieces: Pieces = None,
        measures: Measures = None,
        corners: Corners = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[bytes]:
        """Draws every piece at true scale: as PDF on pages that are joined, as SVG, or as DXF with numbered layers."""
        media_type = preferred(accept, list(FORMS))
        asked = _asked(media_type, paper, pieces, measures, corners)
        return _sent(await sheets.of_grade(bench, grade_id, asked), media_type, if_none_match)

    @get(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/sheets",
        operation_id="readNestedSheets",
        summary="Print the nested templates of all sizes",
        responses=documented("not-acceptable", "faults", "conflict", "ruler-out-of-reach", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
        opt={"query": QUERY},
        media_type=PDF,
    )
    async def of_revision(
        self,
        bench: AtBench,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
        paper: Paper = None,
        pieces: Pieces = None,
        measures: Measures = None,
        corners: Corners = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[bytes]:
        """Draws every piece at all named sizes, one on the other, each size with a line of its own."""
        media_type = preferred(accept, list(FORMS))
        asked = _asked(media_type, paper, pieces, measures, corners)
        return _sent(await sheets.of_revision(bench, pattern_id, revision_id, asked), media_type, if_none_match)

    @get(
        "/layouts/{layouts_id:str}/sheets",
        operation_id="readLayoutSheets",
        summary="Print layouts",
        responses=documented("not-acceptable", "faults", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
        opt={"query": {"paper": CUT_PAPER}},
        media_type=PDF,
    )
    async def of_layouts(
        self,
        bench: AtBench,
        layouts_id: LayoutsPath,
        paper: CutPaper = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[bytes]:
        """Draws the layout of every cloth on a page of its own, to scale, with repeat and direction of its print."""
        media_type = preferred(accept, [PDF])
        return _sent(await sheets.of_layouts(bench, layouts_id, paper or "A4"), media_type, if_none_match)


def _asked(
    media_type: str, paper: str | None, pieces: str | None, measures: str | None, corners: str | None
) -> sheets.Asked:
    given = {"paper": paper, "measures": measures, "corners": corners}
    settings: dict[str, Any] = {name: value for name, value in given.items() if value is not None}
    if pieces is not None:
        settings["pieces"] = pieces.split(",")
    return sheets.Asked(settings, FORMS[media_type])


def _sent(content: bytes, media_type: str, if_none_match: str | None) -> Response[Any]:
    name = {PDF: "sheets.pdf", SVG: "sheets.svg", DXF: "sheets.dxf"}[media_type]
    headers = {"Vary": "Accept", "Content-Disposition": f'inline; filename="{name}"'}
    return conditional(raw(content, media_type, headers), content_tag(content), if_none_match)
