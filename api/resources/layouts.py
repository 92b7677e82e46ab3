"""Layouts of grades."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, get, post
from litestar.datastructures import ResponseHeader
from litestar.params import JSONBody

from api.access.scopes import DESIGN, READ, asks
from api.negotiation import content_tag, preferred, preferred_wait
from api.operations import jobs, layouts, verifications
from api.operations.identity import written
from api.problems import documented
from api.query import CLOTH
from api.resources.answers import CSV, ETAG, JSON, LOCATION, VARY, chosen, conditional, raw
from api.resources.dependencies import AtBench
from api.resources.jobs import shown_job
from api.resources.parameters import Accept, Cloth, GradePath, IfNoneMatch, LayoutsPath, Prefer
from api.resources.patterns import WITH_BODY
from api.schemas.jobs import Job
from api.schemas.layouts import LayoutsDocument, LayoutsRequest, MadeLayouts
from api.schemas.verifications import GradeVerdict
from api.storage.records import LayoutsRecord

SVG = "image/svg+xml"
USUAL_WAIT, MOST_WAIT = 1, 60
"""Seconds that a request waits for its layouts, where it does not say, and at most."""
APPLIED = ResponseHeader(
    name="Preference-Applied",
    documentation_only=True,
    value="",
    description="The wait that was kept to, if one was asked.",
)


class LayoutsController(Controller):
    """Layouts, which never change."""

    tags = ("Cloth",)
    opt = asks(READ)

    @post(
        "/grades/{grade_id:str}/layouts",
        operation_id="makeLayouts",
        summary="Lay a grade out",
        responses=documented(*WITH_BODY, "does-not-fit", "grade-outdated"),
        response_headers=[LOCATION, APPLIED],
        opt=asks(DESIGN),
    )
    async def make(
        self, data: JSONBody[LayoutsRequest], bench: AtBench, grade_id: GradePath, prefer: Prefer = None
    ) -> Response[MadeLayouts | Job]:
        """Lays the pieces of a grade on every cloth. What takes longer than a request waits goes on as a job.

        Without `seconds` the same request gives the same layouts; those that are there already are answered with 200.
        """
        wait = preferred_wait(prefer, MOST_WAIT)
        asked = layouts.Asked(data.settings or {}, data.seconds)
        made = await layouts.make(bench, grade_id, asked, USUAL_WAIT if wait is None else wait)
        applied = {} if wait is None else {"Preference-Applied": f"wait={wait}" if wait else "respond-async"}
        if isinstance(made, layouts.Begun):
            job = shown_job(await jobs.read(bench, made.job))
            return Response(job, status_code=202, headers={"Location": f"/jobs/{made.job}", **applied})
        headers = {"Location": f"/layouts/{made.layouts.id}", **applied}
        return Response(_made(made.layouts), status_code=201 if made.new else 200, headers=headers)

    @get(
        "/layouts/{layouts_id:str}",
        operation_id="readLayouts",
        summary="Read layouts",
        responses=documented("not-acceptable", "faults", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
        opt={"query": {"cloth": CLOTH}},
    )
    async def read(
        self,
        bench: AtBench,
        layouts_id: LayoutsPath,
        cloth: Cloth = None,
        accept: Accept = None,
        if_none_match: IfNoneMatch = None,
    ) -> Response[LayoutsDocument]:
        """Gives layouts exactly as they were stored, as a table of pieces, or as a picture of one cloth or all."""
        found = await layouts.read(bench, layouts_id)
        if preferred(accept, (JSON, CSV, SVG)) != SVG:
            return chosen({JSON: found.document.encode(), CSV: found.pieces_csv.encode()}, accept, if_none_match)
        picture = (await layouts.picture(bench, found, cloth)).encode()
        answer: Response[Any] = raw(picture, SVG, {"Vary": "Accept"})
        return conditional(answer, content_tag(picture), if_none_match)

    @get(
        "/layouts/{layouts_id:str}/proof",
        operation_id="readLayoutsProof",
        summary="Read what is proven of layouts",
        responses=documented("busy", "out-of-time"),
        response_headers=[ETAG],
    )
    async def proof(
        self, bench: AtBench, layouts_id: LayoutsPath, if_none_match: IfNoneMatch = None
    ) -> Response[GradeVerdict]:
        """Gives every claim that the independent verifier has judged of layouts."""
        content = written(await verifications.stored_layouts(bench, layouts_id)).encode()
        answer: Response[Any] = raw(content)
        return conditional(answer, content_tag(content), if_none_match)


def _made(record: LayoutsRecord) -> MadeLayouts:
    return MadeLayouts(id=record.id, grade=record.grade, engine=record.engine)
