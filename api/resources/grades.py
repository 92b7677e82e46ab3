"""Grades, their cut lists and their proofs."""

from __future__ import annotations

import json

import msgspec
from litestar import Controller, Response, get, post
from litestar.params import JSONBody

from api.access.scopes import DESIGN, READ, asks
from api.operations import grades
from api.problems import documented
from api.resources.answers import CSV, ETAG, JSON, LOCATION, VARY, chosen
from api.resources.dependencies import AtBench
from api.resources.parameters import Accept, GradePath, IfNoneMatch, PatternPath, RevisionPath
from api.resources.patterns import WITH_BODY
from api.schemas.comparisons import Answer
from api.schemas.grades import CutList, Grade, GradeDocument, GradeRequest, Proof
from api.storage.records import GradeRecord

READING = documented("not-acceptable")


class GradeController(Controller):
    """Grades, which never change."""

    tags = ("Grades",)
    opt = asks(READ)

    @post(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/grades",
        operation_id="makeGrade",
        summary="Make a grade",
        responses=documented(*WITH_BODY, "conflict", "ruler-out-of-reach"),
        response_headers=[LOCATION],
        opt=asks(DESIGN),
    )
    async def make(
        self, data: JSONBody[GradeRequest], bench: AtBench, pattern_id: PatternPath, revision_id: RevisionPath
    ) -> Response[Grade]:
        """Makes the grade of a revision at a size; one that was made before is answered with 200."""
        asked = grades.Asked(data.size, data.request, data.ruler)
        made = await grades.make(bench, pattern_id, revision_id, asked)
        headers = {"Location": f"/grades/{made.grade.id}"}
        return Response(_grade(made.grade), status_code=201 if made.new else 200, headers=headers)

    @get(
        "/grades/{grade_id:str}",
        operation_id="readGrade",
        summary="Read a grade",
        responses=READING,
        response_headers=[ETAG, VARY],
    )
    async def read(
        self, bench: AtBench, grade_id: GradePath, accept: Accept = None, if_none_match: IfNoneMatch = None
    ) -> Response[GradeDocument]:
        """Gives the grade's document exactly as it was stored."""
        found = await grades.read(bench, grade_id)
        return chosen({JSON: found.document.encode()}, accept, if_none_match)

    @get(
        "/grades/{grade_id:str}/cut-list",
        operation_id="readCutList",
        summary="Read a cut list",
        responses=READING,
        response_headers=[ETAG, VARY],
    )
    async def cut_list(
        self, bench: AtBench, grade_id: GradePath, accept: Accept = None, if_none_match: IfNoneMatch = None
    ) -> Response[CutList]:
        """Gives what to cut, as JSON or as a table in CSV."""
        found = await grades.read(bench, grade_id)
        rows = msgspec.json.encode({"rows": json.loads(found.document)["cut_list"]})
        return chosen({JSON: rows, CSV: found.cut_list_csv.encode()}, accept, if_none_match)

    @get(
        "/grades/{grade_id:str}/proof",
        operation_id="readProof",
        summary="Read a proof",
        responses=READING,
        response_headers=[ETAG, VARY],
    )
    async def proof(
        self, bench: AtBench, grade_id: GradePath, accept: Accept = None, if_none_match: IfNoneMatch = None
    ) -> Response[Proof]:
        """Gives every claim that is made of the grade, and what shows it."""
        found = await grades.read(bench, grade_id)
        return chosen({JSON: found.proof.encode()}, accept, if_none_match)

    @get(
        "/grades/{grade_id:str}/answer",
        operation_id="readAnswer",
        summary="Read why a grade is as it is",
        responses=documented("not-acceptable", "busy", "out-of-time"),
        response_headers=[ETAG, VARY],
    )
    async def answer(
        self, bench: AtBench, grade_id: GradePath, accept: Accept = None, if_none_match: IfNoneMatch = None
    ) -> Response[Answer]:
        """Gives for each dimension what was asked, what is given, and why they differ."""
        found = await grades.answer(bench, grade_id)
        return chosen({JSON: found.encode()}, accept, if_none_match)


def _grade(record: GradeRecord) -> Grade:
    asked = grades.request_of(record)
    request = json.loads(record.document)["size"]["request"]
    return Grade(
        id=record.id,
        pattern=record.pattern,
        revision=record.revision,
        size=asked.size,
        request=request,
        engine=record.engine,
    )
