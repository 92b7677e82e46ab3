"""Endpoints of a shop, which are told of its orders."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated, Any

from litestar import Controller, Response, delete, get, post
from litestar.datastructures import State
from litestar.params import JSONBody, PathParameter

from api.access.scopes import ORDER, asks
from api.operations import endpoints
from api.problems import documented
from api.resources.answers import LOCATION
from api.resources.dependencies import AtBench
from api.resources.parameters import Limit, Offset
from api.resources.patterns import PAGED
from api.schemas.base import UUID_PATTERN
from api.schemas.notifications import (
    Endpoint,
    EndpointList,
    EndpointMove,
    MadeEndpoint,
    NewEndpoint,
    SecretRequest,
)

if TYPE_CHECKING:
    from api.storage.notifications import EndpointRecord

EndpointPath = Annotated[str, PathParameter(pattern=UUID_PATTERN, description="The endpoint's id.")]
WITH_BODY = ("unreadable-body", "body-too-large", "unsupported-body", "faults")


class EndpointController(Controller):
    """Addresses that are notified."""

    path = "/endpoints"
    tags = ("Notifications",)
    opt = asks(ORDER)

    @post(
        operation_id="makeEndpoint",
        summary="Have an address notified",
        responses=documented(*WITH_BODY),
        response_headers=[LOCATION],
    )
    async def make(self, data: JSONBody[NewEndpoint], bench: AtBench, state: State) -> Response[MadeEndpoint]:
        """Has an address told of events from now on. The answer shows the secret that signs them, this once."""
        wanted = endpoints.Wanted(data.url, frozenset(data.events), data.says)
        shown = await endpoints.make(bench, wanted, datetime.now(UTC), private=state.settings.notify_private)
        return Response(_made(shown), headers={"Location": f"/endpoints/{shown.endpoint.id}"})

    @get(operation_id="listEndpoints", summary="List endpoints", responses=documented("faults"), opt=PAGED)
    async def list_all(self, bench: AtBench, limit: Limit = 20, offset: Offset = 0) -> EndpointList:
        """Lists endpoints in the order in which they were made."""
        page = await endpoints.endpoints(bench, limit, offset)
        return EndpointList(items=[_endpoint(item) for item in page.items], total=page.total)

    @get("/{endpoint_id:str}", operation_id="readEndpoint", summary="Read an endpoint", responses=documented())
    async def read(self, bench: AtBench, endpoint_id: EndpointPath) -> Endpoint:
        """Gives an endpoint without its secret."""
        return _endpoint(await endpoints.read(bench, endpoint_id))

    @post(
        "/{endpoint_id:str}/secrets",
        operation_id="replaceSecret",
        summary="Replace the secret of an endpoint",
        responses=documented(*WITH_BODY),
        status_code=200,
    )
    async def replace_secret(
        self, data: JSONBody[SecretRequest], bench: AtBench, endpoint_id: EndpointPath
    ) -> MadeEndpoint:
        """Makes another secret, shown this once. For a while notifications are signed with both, each by itself."""
        return _made(await endpoints.replace_secret(bench, endpoint_id, data.hours, datetime.now(UTC)))

    @post(
        "/{endpoint_id:str}/states",
        operation_id="moveEndpoint",
        summary="Enable or disable an endpoint",
        responses=documented(*WITH_BODY),
        status_code=200,
    )
    async def move(self, data: JSONBody[EndpointMove], bench: AtBench, endpoint_id: EndpointPath) -> Endpoint:
        """Has an endpoint notified or not. What waits for it when it is disabled is dead; it can be sent again later.

        Of what happens while it is disabled it is never told.
        """
        enabled = data.to == "enabled"
        return _endpoint(await endpoints.switch(bench, endpoint_id, enabled=enabled, now=datetime.now(UTC)))

    @delete(
        "/{endpoint_id:str}",
        operation_id="deleteEndpoint",
        summary="Delete an endpoint",
        status_code=204,
        responses=documented(),
    )
    async def remove(self, bench: AtBench, endpoint_id: EndpointPath) -> None:
        """Deletes an endpoint, with its secret and every notification that was for it."""
        await endpoints.remove(bench, endpoint_id)


def _made(shown: endpoints.Shown) -> MadeEndpoint:
    return MadeEndpoint(**_fields(shown.endpoint), secret=shown.secret)


def _endpoint(record: EndpointRecord) -> Endpoint:
    return Endpoint(**_fields(record))


def _fields(record: EndpointRecord) -> dict[str, Any]:
    return {
        "id": record.id,
        "url": record.url,
        "events": list(record.events),
        "says": record.says,
        "state": "disabled" if record.disabled_because else "enabled",
        "disabled_because": record.disabled_because or None,
        "old_secret_until": record.old_until,
        "created_at": record.created_at,
    }
