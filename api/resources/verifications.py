"""Verifications by the independent verifier."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, post
from litestar.params import JSONBody

from api.operations import verifications
from api.operations.bench import Bench
from api.operations.identity import written
from api.problems import documented
from api.resources.answers import raw
from api.resources.dependencies import AtBench
from api.resources.patterns import WITH_BODY
from api.schemas.verifications import GradeVerdict, MeasuredVerdict, VerificationRequest


class VerificationController(Controller):
    """Verifications, which store nothing."""

    path = "/verifications"
    tags = ("Grades",)

    @post(operation_id="verify", summary="Verify a grade", status_code=200, responses=documented(*WITH_BODY))
    async def verify(
        self, data: JSONBody[VerificationRequest], bench: AtBench
    ) -> Response[GradeVerdict | MeasuredVerdict]:
        """Has a stored grade, a grade that is sent, or pieces measured at the table judged."""
        return raw(written(await _verdict(data, bench)).encode())


async def _verdict(data: VerificationRequest, bench: Bench) -> dict[str, Any]:
    if data.grade_id is not None:
        return await verifications.stored_grade(bench, data.grade_id)
    document = data.document or {}
    if data.grade is not None:
        return await verifications.posted_grade(bench, document, data.grade)
    return await verifications.measured_pieces(bench, document, data.measured or {})
