"""Puts the server together: settings, storage, workers, handlers."""

from __future__ import annotations

import asyncio
import logging
from contextlib import asynccontextmanager
from functools import cache
from typing import TYPE_CHECKING

import msgspec
from litestar import Litestar
from litestar.plugins.pydantic import PydanticPlugin

from api.description import interface_description
from api.gate import Gate
from api.jobs.pool import PoolSettings, WorkerPool
from api.operations.bench import NOBODY, Bench
from api.operations.keeper import JobKeeper
from api.operations.layouts import resume
from api.operations.opening import prepare
from api.pages.app import WithPages, create_pages
from api.pages.door import Door
from api.pages.reference import reference_files, reference_page
from api.problems import problem_text, respond
from api.query import refuse_odd_query
from api.request import BoundedRequest
from api.resources.all import CONTROLLERS
from api.resources.dependencies import DEPENDENCIES
from api.settings import Settings
from api.sharing import Preflights, Sharing
from api.storage.database import Database
from api.transport import AllowedMethods, Outermost

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from api.operations.bench import Solver


LOG = logging.getLogger("api")


def create_app(settings: Settings | None = None, *, solver: Solver | None = None) -> Litestar:
    """The server as an ASGI application; it migrates its database when it starts.

    Without settings they come from the environment. Without a solver it keeps a pool of worker processes.
    """
    chosen = settings or Settings.from_environment()
    database, sharing = Database(chosen.database_url), Sharing(chosen.origins)

    @asynccontextmanager
    async def lifespan(app: Litestar) -> AsyncIterator[None]:
        await database.migrate()
        if (made := await prepare(database, chosen)) is not None:
            LOG.warning("The first key to this workshop has been written to %s", made)
        pool, jobs = WorkerPool(_pool_settings(chosen)), JobKeeper(database, problem_text)
        app.state.bench = Bench(database, solver or pool, NOBODY, jobs)
        await resume(app.state.bench)
        warming = asyncio.create_task(pool.warm()) if solver is None else None
        try:
            yield
        finally:
            if warming is not None:
                warming.cancel()
                await asyncio.wait({warming})
            await jobs.close()
            await pool.close()
            await database.close()

    app = Litestar(
        route_handlers=[*CONTROLLERS, reference_page, reference_files],
        request_class=BoundedRequest,
        request_max_body_size=chosen.body_limit,
        before_request=refuse_odd_query,
        dependencies=DEPENDENCIES,
        exception_handlers={Exception: respond},
        guards=[Gate(database, chosen).admit],
        middleware=[Preflights(database, sharing), AllowedMethods()],
        plugins=[PydanticPlugin(validate_strict=True)],
        lifespan=[lifespan],
        openapi_config=None,
        logging_config=None,
    )
    app.state.interface = cache(lambda: msgspec.json.encode(interface_description(CONTROLLERS)))
    app.asgi_handler = Outermost(WithPages(app.asgi_handler, create_pages(Door(app))), sharing, https=chosen.https)
    return app


def _pool_settings(settings: Settings) -> PoolSettings:
    return PoolSettings(
        workers=settings.workers,
        queue=settings.queue,
        time_limit=settings.time_limit,
        job_time=settings.job_time,
        idle=settings.worker_idle,
        memory=settings.worker_memory,
    )
