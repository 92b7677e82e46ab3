"""Whether the server and its storage answer."""

from __future__ import annotations

from litestar import Controller, get

from api import VERSION
from api.access.scopes import OPEN, asks
from api.problems import documented
from api.resources.dependencies import AtBench
from api.schemas.health import Health


class HealthController(Controller):
    """The state of the server."""

    path = "/health"
    tags = ("Server",)
    opt = asks(OPEN)

    @get(operation_id="readHealth", summary="Read the state of the server", responses=documented())
    async def read(self, bench: AtBench) -> Health:
        """Answers when the storage does."""
        await bench.database.ping()
        return Health(status="ok", version=VERSION, database="ok")
