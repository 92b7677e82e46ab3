"""Runs the server with uvicorn."""

from __future__ import annotations

from contextlib import suppress
from math import ceil
from typing import TYPE_CHECKING

import uvicorn

from api.app import create_app
from api.logs import configure
from api.settings import Settings

if TYPE_CHECKING:
    from types import FrameType

    from litestar import Litestar

CONNECTIONS_EACH = 4
"""Connections for each request that may be in hand: most are open between two requests."""


class Server(uvicorn.Server):
    """A server that tells its application as soon as it is told to stop, before requests in hand have ended."""

    def __init__(self, config: uvicorn.Config, app: Litestar) -> None:
        super().__init__(config)
        self._app = app

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Notes a signal to stop; a second one does not wait for requests in hand."""
        if (jobs := self._app.state.get("jobs")) is not None:
            jobs.stop_waiting()
        super().handle_exit(sig, frame)


def serve(settings: Settings) -> None:
    """Serves until it is told to stop; one process, whose workers are started when they are needed.

    Then it takes no more connections, answers the requests in hand for as long as `stop_time`, and lets go of jobs,
    which the next server, or another one, takes up.
    """
    configure(settings.log)
    app = create_app(settings)
    config = uvicorn.Config(
        app,
        host=settings.host,
        port=settings.port,
        limit_concurrency=settings.requests * CONNECTIONS_EACH,
        timeout_graceful_shutdown=ceil(settings.stop_time),
        server_header=False,
        access_log=False,
        log_config=None,
        log_level="warning",
    )
    server = Server(config, app)
    with suppress(KeyboardInterrupt):
        server.run()
    if not server.started:
        raise SystemExit(3)
