"""Whether the server is alive, whether it can do its work, and what it measures."""

from __future__ import annotations

from secrets import compare_digest
from typing import TYPE_CHECKING

from litestar import Controller, Request, Response, get
from litestar.datastructures import State

from api import VERSION
from api.access.refusals import NoKey
from api.access.scopes import OPEN, asks
from api.metrics import CONTENT_TYPE
from api.operations.errors import Missing
from api.operations.jobs import counted
from api.operations.opening import on_loopback
from api.operations.readiness import ensure
from api.problems import documented
from api.resources.dependencies import AtBench
from api.schemas.health import Health, Readiness

if TYPE_CHECKING:
    from typing import Any

    from api.settings import Settings

BEARER = "Bearer "


class HealthController(Controller):
    """The state of the server."""

    tags = ("Server",)
    opt = asks(OPEN)

    @get("/health", operation_id="readHealth", summary="Read whether the server is alive", responses=documented())
    async def read(self) -> Health:
        """Answers while the server is alive, whatever else is missing. One that does not is to be started anew."""
        return Health(status="ok", version=VERSION)

    @get(
        "/ready",
        operation_id="readReadiness",
        summary="Read whether the server can do its work",
        responses=documented("not-ready"),
    )
    async def ready(self, bench: AtBench, state: State) -> Readiness:
        """Answers when the storage does, its tables are of this version, and a worker is there or can be started.

        To one that does not, send no requests for now.
        """
        await ensure(bench.database, state.executor)
        return Readiness(status="ready", version=VERSION, database="ok", migrations="ok", workers="ok")

    @get(
        "/metrics",
        operation_id="readMetrics",
        summary="Read what the server measures",
        responses=documented("no-key"),
        media_type="text/plain",
    )
    async def metrics(self, request: Request[Any, Any, State], bench: AtBench, state: State) -> Response[bytes]:
        """Gives measures in Prometheus' text format, by operation and state.

        Needs the token of SIZEWRIGHT_METRICS_TOKEN as `Authorization: Bearer …`; where none is set, they are given by
        servers only that cannot be reached from other machines.
        """
        _admit(request.headers.getall("authorization", []), state.settings)
        content = state.metrics.written(state.executor.load(), await counted(bench))
        return Response(content, media_type=CONTENT_TYPE, headers={"Cache-Control": "no-store"})


def _admit(presented: list[str], settings: Settings) -> None:
    """Raises NoKey without the right token, and Missing where there is none and others could read along."""
    if settings.metrics_token is None:
        if not on_loopback(settings.host):
            raise Missing("page", "metrics")
        return
    wanted = f"{BEARER}{settings.metrics_token}".encode()
    if len(presented) != 1 or not compare_digest(presented[0].encode(), wanted):
        raise NoKey(presented=bool(presented))
