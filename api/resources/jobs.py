"""Jobs, which outlast the requests that began them."""

from __future__ import annotations

from dataclasses import asdict

from litestar import Controller, Response, delete, get

from api.access.scopes import DESIGN, READ, asks
from api.operations import jobs
from api.problems import documented
from api.resources.dependencies import AtBench
from api.resources.parameters import JobPath
from api.schemas.jobs import Job


class JobController(Controller):
    """Jobs: asked of until they have ended."""

    path = "/jobs"
    tags = ("Cloth",)
    opt = asks(READ)

    @get("/{job_id:str}", operation_id="readJob", summary="Read how far a job has come", responses=documented())
    async def read(self, bench: AtBench, job_id: JobPath) -> Response[Job]:
        """Gives a job as it stands now: once it is done, where its result lies."""
        headers = {"Cache-Control": "private, no-store"}
        return Response(shown_job(await jobs.read(bench, job_id)), headers=headers)

    @delete(
        "/{job_id:str}",
        operation_id="cancelJob",
        summary="Cancel a job",
        status_code=204,
        responses=documented(),
        opt=asks(DESIGN),
    )
    async def cancel(self, bench: AtBench, job_id: JobPath) -> None:
        """Cancels a job; nothing of it is kept. One that has ended stays as it is."""
        await jobs.cancel(bench, job_id)


def shown_job(told: jobs.Told) -> Job:
    """A job as it is sent."""
    result = None if told.result is None else f"/layouts/{told.result}"
    return Job.model_validate({**asdict(told), "result": result})
