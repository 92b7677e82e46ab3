"""Puts the server together: settings, storage, workers, handlers."""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager
from functools import cache
from typing import TYPE_CHECKING

import msgspec
from litestar import Litestar
from litestar.plugins.pydantic import PydanticPlugin

from api.description import interface_description
from api.gate import Gate
from api.jobs.choice import executor_for
from api.logs import logger
from api.metrics import MeasuredSolver, Metrics
from api.notifying.sending import Sender
from api.operations.bench import NOBODY, Bench
from api.operations.courier import Courier
from api.operations.keeper import JobKeeper
from api.operations.layouts import attend, resume
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
from api.watch import Watch

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from api.operations.bench import Solver


LOG = logger()


def create_app(settings: Settings | None = None, *, solver: Solver | None = None) -> Litestar:
    """The server as an ASGI application; it migrates its database when it starts.

    Without settings they come from the environment. Without a solver it keeps a pool of worker processes.
    """
    chosen = settings or Settings.from_environment()
    database, sharing, metrics = Database(chosen.database_url), Sharing(chosen.origins), Metrics()

    @asynccontextmanager
    async def lifespan(app: Litestar) -> AsyncIterator[None]:
        await _open(database, chosen)
        executor, jobs = executor_for(chosen), JobKeeper(database, problem_text, chosen.job_lease)
        app.state.bench = Bench(database, MeasuredSolver(solver or executor, metrics), NOBODY, jobs)
        app.state.executor, app.state.jobs = executor, jobs
        courier = Courier(database, Sender(private=chosen.notify_private))
        await resume(app.state.bench)
        courier.begin()
        busy = {asyncio.create_task(attend(app.state.bench))}
        if solver is None:
            busy.add(asyncio.create_task(executor.warm()))
        try:
            yield
        finally:
            for each in busy:
                each.cancel()
            await asyncio.wait(busy)
            await courier.close()
            await jobs.close()
            await executor.close()
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
    app.state.settings, app.state.metrics = chosen, metrics
    pages = create_pages(Door(app))
    watched = Watch(WithPages(app.asgi_handler, pages), metrics, chosen.requests)
    app.asgi_handler = Outermost(watched, sharing, https=chosen.https)
    return app


async def _open(database: Database, settings: Settings) -> None:
    try:
        await database.migrate()
        made = await prepare(database, settings)
    except BaseException:
        await database.close()
        raise
    if made is not None:
        LOG.warning("The first key to this workshop has been written", file=str(made))
