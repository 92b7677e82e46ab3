"""Testers' records of a revision."""

from __future__ import annotations

import json

from litestar import Controller, get, post
from litestar.params import JSONBody

from api.access.scopes import DESIGN, READ, asks
from api.operations import testing
from api.problems import documented
from api.resources.dependencies import AtBench
from api.resources.parameters import Limit, Offset, PatternPath, RevisionPath
from api.resources.patterns import PAGED
from api.schemas.testing import NewRecord, Record, RecordList
from api.storage.records import TesterRecord


class TesterRecordController(Controller):
    """Testers' records, which never change: a tester who sees more sends another."""

    path = "/patterns/{pattern_id:str}/revisions/{revision_id:str}/records"
    tags = ("Testing",)
    opt = asks(READ)

    @post(
        operation_id="addRecord",
        summary="Send a tester's record in",
        responses=documented("unreadable-body", "body-too-large", "unsupported-body", "faults"),
        opt=asks(DESIGN),
    )
    async def add(
        self, data: JSONBody[NewRecord], bench: AtBench, pattern_id: PatternPath, revision_id: RevisionPath
    ) -> Record:
        """Writes down what came of sewing a size: cloth, finished measures, minutes, remarks by step."""
        remarks = [remark.model_dump() for remark in data.remarks]
        sewn = testing.Sewn(data.size, data.cloth, data.measures, data.minutes, remarks)
        return _record(await testing.add(bench, pattern_id, revision_id, sewn))

    @get(
        operation_id="listRecords",
        summary="List the testers' records of a revision",
        responses=documented("faults"),
        opt=PAGED,
    )
    async def list_all(
        self,
        bench: AtBench,
        pattern_id: PatternPath,
        revision_id: RevisionPath,
        limit: Limit = 20,
        offset: Offset = 0,
    ) -> RecordList:
        """Lists what testers sent in, the first first."""
        page = await testing.records(bench, pattern_id, revision_id, limit, offset)
        return RecordList(items=[_record(item) for item in page.items], total=page.total)


def _record(record: TesterRecord) -> Record:
    content = json.loads(record.content)
    return Record(
        id=record.id,
        pattern=record.pattern,
        revision=record.revision,
        size=record.size,
        cloth=record.cloth,
        measures=content["measures"],
        minutes=content["minutes"],
        remarks=content["remarks"],
        created_at=record.created_at,
    )
