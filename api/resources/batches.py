"""Batches of sizes."""

from __future__ import annotations

from litestar import Controller, post
from litestar.params import JSONBody
from litestar.response import Stream

from api.access.scopes import READ, asks
from api.jobs.batching import unpacked
from api.operations import batches
from api.problems import documented
from api.resources.dependencies import AtBench
from api.resources.parameters import PatternPath, RevisionPath
from api.resources.patterns import WITH_BODY
from api.schemas.batches import MANY, BatchRequest

LINES = "application/x-ndjson"


class BatchController(Controller):
    """Many sizes at once."""

    tags = ("Grades",)
    opt = asks(READ)

    @post(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/batches",
        operation_id="solveBatch",
        summary="Solve many sizes",
        responses=documented(*WITH_BODY, "conflict"),
        status_code=200,
        media_type=LINES,
        opt={"many": MANY},
    )
    async def solve(
        self, data: JSONBody[BatchRequest], bench: AtBench, pattern_id: PatternPath, revision_id: RevisionPath
    ) -> Stream:
        """Gives the nearest size of every row as JSON lines, one a row, in mm.

        A line has `row`, `consistent`, and `dimensions` with the relations that are `held`; or, where no size meets
        every relation, the one that `fails` and those `with` which it cannot hold (there may be others). The ruler is
        not applied: `on_ruler` is false in every line. Make a grade of a size to have it on the ruler.
        """
        asked = data.model_dump(exclude_unset=True)
        return Stream(unpacked(await batches.solve(bench, pattern_id, revision_id, asked)), media_type=LINES)
