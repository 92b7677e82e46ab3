"""Substitutions of revisions."""

from __future__ import annotations

from typing import Any

from litestar import Controller, Response, post
from litestar.params import JSONBody

from api.access.scopes import READ, asks
from api.operations import substitutions
from api.operations.grades import Asked
from api.problems import documented
from api.resources.answers import raw
from api.resources.dependencies import AtBench
from api.resources.parameters import PatternPath, RevisionPath
from api.resources.patterns import WITH_BODY
from api.schemas.substitutions import Substitution, SubstitutionRequest


class SubstitutionController(Controller):
    """Changes of a document that are tried before they are stored."""

    tags = ("Cloth",)
    opt = asks(READ)

    @post(
        "/patterns/{pattern_id:str}/revisions/{revision_id:str}/substitutions",
        operation_id="substitute",
        summary="Try other cloths, split pieces, mesh or a toile",
        responses=documented(*WITH_BODY, "conflict", "ruler-out-of-reach", "does-not-fit"),
        status_code=200,
    )
    async def substitute(
        self, data: JSONBody[SubstitutionRequest], bench: AtBench, pattern_id: PatternPath, revision_id: RevisionPath
    ) -> Response[Substitution]:
        """Gives the changed document, what changes in each size, and how much cloth of each is bought.

        Nothing is stored: send the document as a new revision if it is wanted.
        """
        asked = Asked(data.size, data.request, data.ruler)
        found = await substitutions.substitute(bench, pattern_id, revision_id, data.changes, asked, data.settings or {})
        answer: Response[Any] = raw(found.encode())
        return answer
