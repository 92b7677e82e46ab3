"""Runs the server with uvicorn."""

from __future__ import annotations

import uvicorn

from api.app import create_app
from api.settings import Settings

MOST_CONNECTIONS = 500
STOP_SECONDS = 5


def serve(settings: Settings) -> None:
    """Serves until it is told to stop; one process, whose workers are started when they are needed."""
    uvicorn.run(
        create_app(settings),
        host=settings.host,
        port=settings.port,
        limit_concurrency=MOST_CONNECTIONS,
        timeout_graceful_shutdown=STOP_SECONDS,
        server_header=False,
        log_level="warning",
    )
