"""Verifications by the independent verifier."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, post
from litestar.params import JSONBody

from api.access.scopes import READ, asks
from api.operations import verifications
from api.operations.bench import Bench
from api.operations.identity import written
from api.problems import documented
from api.resources.answers import raw
from api.resources.dependencies import AtBench
from api.resources.patterns import WITH_BODY
from api.schemas.verifications import GradeVerdict, MeasuredVerdict, VerificationRequest

JUDGED = ("grade", "layouts", "supplies", "measured")


class VerificationController(Controller):
    """Verifications, which store nothing."""

    path = "/verifications"
    tags = ("Grades",)
    opt = asks(READ)

    @post(
        operation_id="verify",
        summary="Verify a grade, or what was made of one",
        status_code=200,
        responses=documented(*WITH_BODY),
    )
    async def verify(
        self, data: JSONBody[VerificationRequest], bench: AtBench
    ) -> Response[GradeVerdict | MeasuredVerdict]:
        """Has a grade, layouts or supplies of one, stored or sent, or pieces measured at the table judged."""
        return raw(written(await _verdict(data, bench)).encode())


async def _verdict(data: VerificationRequest, bench: Bench) -> dict[str, Any]:
    if data.grade_id is not None and data.measured is not None:
        return await verifications.stored_measured(bench, data.grade_id, data.measured)
    if data.grade_id is not None:
        return await verifications.stored_grade(bench, data.grade_id)
    if data.layouts_id is not None:
        return await verifications.stored_layouts(bench, data.layouts_id)
    judged = {name: getattr(data, name) for name in JUDGED if getattr(data, name) is not None}
    return await verifications.posted(bench, data.document or {}, **judged)
