"""Checks of drafts."""

from __future__ import annotations

from dataclasses import asdict

from litestar import Controller, post
from litestar.params import JSONBody

from api.operations import checks
from api.operations.identity import written
from api.problems import documented
from api.resources.dependencies import AtBench
from api.resources.patterns import WITH_BODY
from api.schemas.checks import Check, Unchecked
from api.schemas.problems import Fault


class CheckController(Controller):
    """Checks, which store nothing."""

    path = "/checks"
    tags = ("Patterns",)

    @post(operation_id="checkDraft", summary="Check a draft", status_code=200, responses=documented(*WITH_BODY))
    async def check(self, data: JSONBody[Unchecked], bench: AtBench) -> Check:
        """Says whether a draft could be stored, and everything that is wrong with it, or worth a look."""
        found = await checks.check(bench, written(data.document))
        faults = [Fault(**asdict(fault)) for fault in found.faults]
        return Check(
            sound=not faults,
            faults=faults,
            remarks=[Fault(**asdict(remark)) for remark in found.remarks],
            pieces=found.pieces,
            seams=found.seams,
            relations=found.relations,
            claims=found.claims,
        )
