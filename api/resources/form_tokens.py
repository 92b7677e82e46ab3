"""Tokens of order forms."""

from __future__ import annotations

from typing import Annotated

from litestar import Controller, Response, delete, get, post
from litestar.params import JSONBody, PathParameter

from api.access.scopes import DESIGN, asks
from api.access.secrets import NAME_PATTERN
from api.operations import form_tokens
from api.problems import documented
from api.resources.answers import LOCATION
from api.resources.dependencies import AtBench
from api.resources.keys import WITH_BODY
from api.resources.parameters import Limit, Offset, PatternPath
from api.resources.patterns import PAGED
from api.schemas.form_tokens import FormToken, FormTokenList, MadeFormToken, NewFormToken
from api.storage.records import FormRecord

FormPath = Annotated[str, PathParameter(pattern=NAME_PATTERN, description="The id of the order form.")]


class FormTokenController(Controller):
    """Order forms of a pattern on pages of shops."""

    path = "/patterns/{pattern_id:str}/forms"
    tags = ("Access",)
    opt = asks(DESIGN)

    @post(
        operation_id="makeFormToken",
        summary="Open an order form",
        responses=documented(*WITH_BODY),
        response_headers=[LOCATION],
    )
    async def open_form(
        self, data: JSONBody[NewFormToken], bench: AtBench, pattern_id: PatternPath
    ) -> Response[MadeFormToken]:
        """Makes a token that works for this pattern's order form alone, on pages of these origins.

        The answer shows it, this once. It reads the form, and asks for quotes and orders; nothing else.
        """
        shown = await form_tokens.open_form(bench, pattern_id, data.says, data.origins)
        made = MadeFormToken(**_form(shown.form).model_dump(), token=shown.token)
        return Response(made, headers={"Location": f"/patterns/{pattern_id}/forms/{shown.form.id}"})

    @get(operation_id="listFormTokens", summary="List order forms", responses=documented("faults"), opt=PAGED)
    async def list_all(
        self, bench: AtBench, pattern_id: PatternPath, limit: Limit = 20, offset: Offset = 0
    ) -> FormTokenList:
        """Lists the order forms of a pattern in the order in which they were opened, also those that are closed."""
        page = await form_tokens.forms(bench, pattern_id, limit, offset)
        return FormTokenList(items=[_form(item) for item in page.items], total=page.total)

    @get("/{form_id:str}", operation_id="readFormToken", summary="Read an order form", responses=documented())
    async def read(self, bench: AtBench, pattern_id: PatternPath, form_id: FormPath) -> FormToken:
        """Tells whose pages may use an order form, without its token."""
        return _form(await form_tokens.read(bench, pattern_id, form_id))

    @delete(
        "/{form_id:str}",
        operation_id="revokeFormToken",
        summary="Close an order form",
        status_code=204,
        responses=documented(),
    )
    async def close(self, bench: AtBench, pattern_id: PatternPath, form_id: FormPath) -> None:
        """Ends an order form's token at once. One that is closed stays as it is."""
        await form_tokens.close(bench, pattern_id, form_id)


def _form(record: FormRecord) -> FormToken:
    return FormToken(
        id=record.id,
        pattern=record.pattern,
        says=record.says,
        origins=list(record.origins),
        created_at=record.created_at,
        revoked_at=record.revoked_at,
    )
