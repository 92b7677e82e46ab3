"""Pictures of what a grade makes."""

from __future__ import annotations

from typing import Annotated, Any

from litestar import Controller, MediaType, Response, get
from litestar.params import PathParameter, QueryParameter

from api.access.scopes import FORM, READ, asks
from api.negotiation import content_tag, preferred
from api.operations import pictures
from api.problems import documented
from api.query import Parameter
from api.resources.answers import ETAG, conditional, raw
from api.resources.dependencies import AtBench, AtCaller
from api.resources.parameters import Accept, GradePath, IfNoneMatch
from api.schemas.base import NAME_PATTERN, OPTIONS_PATTERN

SVG = "image/svg+xml"
BESIDE, UNITS = ("a4", "card"), ("mm", "cm", "in")
READING = documented("not-acceptable", "faults", "busy", "out-of-time")

SeamPath = Annotated[str, PathParameter(pattern=NAME_PATTERN, max_length=60, description="The seam's name.")]
Beside = Annotated[
    str | None,
    QueryParameter(
        name="beside",
        pattern=rf"^({'|'.join(BESIDE)})$",
        description="What the bag is drawn beside: `a4`, a sheet of A4 (ISO 216), the usual one, or `card`, a bank "
        "card (ISO/IEC 7810, ID-1).",
    ),
]
Unit = Annotated[
    str | None,
    QueryParameter(
        name="unit", pattern=rf"^({'|'.join(UNITS)})$", description="The unit of the measures; the ruler's if absent."
    ),
]
Cloths = Annotated[
    str | None,
    QueryParameter(
        name="cloths",
        pattern=OPTIONS_PATTERN,
        description="Which of the cloths that the order form offers are taken, as in `main:sea_green,lining:sand`; "
        "others are the usual ones. Their ground colours fill the picture, pale.",
    ),
]
QUERY = {
    "beside": Parameter(r"(a4|card)", "Nothing of that name is drawn beside a bag.", "Write a4 or card."),
    "unit": Parameter(r"(mm|cm|in)", "This is no unit of a picture.", "Write mm, cm or in."),
    "cloths": Parameter(
        OPTIONS_PATTERN, "These are no roles with their cloths.", "Write them as in main:sea_green,lining:sand."
    ),
}


class PictureController(Controller):
    """Pictures, which are drawn anew each time and always come out the same."""

    tags = ("Grades",)

    @get(
        "/grades/{grade_id:str}/picture",
        operation_id="readBagPicture",
        summary="See the finished bag",
        responses=READING,
        response_headers=[ETAG],
        opt={**asks(FORM), "query": QUERY},
        media_type=SVG,
    )
    async def bag(
        self,
        bench: AtBench,
        caller: AtCaller,
        grade_id: GradePath,
        beside: Beside = None,
        unit: Unit = None,
        cloths: Cloths = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[str]:
        """Draws front and side of the bag to scale, with its measures, beside a thing that everybody knows.

        Drawn from the pattern's measures, without the bulk of cloth; straps and handles are left out.
        """
        preferred(accept, (SVG,))
        chosen = dict(pair.split(":") for pair in cloths.split(",")) if cloths else {}
        look = pictures.Look(beside or BESIDE[0], unit, chosen)
        return _drawn(await pictures.bag(bench, caller, grade_id, look), if_none_match)

    @get(
        "/grades/{grade_id:str}/seams/{seam:str}/picture",
        operation_id="readSeamPicture",
        summary="See both sides of a seam",
        responses=documented("not-acceptable", "busy", "out-of-time"),
        response_headers=[ETAG],
        opt=asks(READ),
        media_type=SVG,
    )
    async def seam(
        self,
        bench: AtBench,
        grade_id: GradePath,
        seam: SeamPath,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[str]:
        """Draws the stitching lines of both sides laid straight, to one scale, with their parts and notches."""
        preferred(accept, (SVG,))
        return _drawn(await pictures.seam(bench, grade_id, seam), if_none_match)


def _drawn(picture: str, if_none_match: str | None) -> Response[Any]:
    content = picture.encode()
    answer = conditional(raw(content, SVG), content_tag(content), if_none_match)
    if answer.status_code == 304:
        # The handler's media type is that of pictures, and nothing cannot be written as one.
        answer.media_type = MediaType.JSON
    return answer
