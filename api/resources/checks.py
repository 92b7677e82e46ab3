"""Checks of drafts."""

from __future__ import annotations

from litestar import Controller, post
from litestar.params import JSONBody

from api.access.scopes import READ, asks
from api.operations import checks
from api.operations.identity import written
from api.problems import documented
from api.resources.dependencies import AtBench
from api.resources.patterns import WITH_BODY, shown
from api.schemas.checks import Check, Unchecked


class CheckController(Controller):
    """Checks, which store nothing."""

    path = "/checks"
    tags = ("Patterns",)
    opt = asks(READ)

    @post(operation_id="checkDraft", summary="Check a draft", status_code=200, responses=documented(*WITH_BODY))
    async def check(self, data: JSONBody[Unchecked], bench: AtBench) -> Check:
        """Says whether a draft is sound, and everything that is wrong with it, or worth a look."""
        found = await checks.check(bench, written(data.document))
        return Check(
            sound=not found.faults,
            faults=shown(found.faults),
            remarks=shown(found.remarks),
            pieces=found.pieces,
            seams=found.seams,
            relations=found.relations,
            claims=found.claims,
        )
