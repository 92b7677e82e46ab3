"""Writing testers' records down, and reading them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from api.operations.errors import Fault, RequestRefused
from api.operations.patterns import revision as read_revision
from api.storage.testing import NewTesterRecord, TesterStore
from grading.exact import NotALength, read_length

if TYPE_CHECKING:
    from api.operations.bench import Bench
    from api.storage.records import Page, TesterRecord

BASE_SIZE = "base"


@dataclass(frozen=True)
class Sewn:
    """What a tester tells: `measures` are length texts by dimension, `remarks` plain data with `says` and `step`."""

    size: str
    cloth: str
    measures: dict[str, str]
    minutes: int | None
    remarks: list[dict[str, Any]]


async def add(bench: Bench, pattern: str, revision: str, sewn: Sewn) -> TesterRecord:
    """Writes a record of a revision down. Raises Missing and RequestRefused with all that the pattern does not know."""
    source = await read_revision(bench, pattern, revision)
    faults = tuple(_faults(json.loads(source.document), sewn))
    if faults:
        raise RequestRefused(faults)
    content = {"measures": sewn.measures, "minutes": sewn.minutes, "remarks": sewn.remarks}
    new = NewTesterRecord(
        id=str(uuid4()),
        revision=revision,
        size=sewn.size,
        cloth=sewn.cloth,
        content=json.dumps(content, ensure_ascii=False),
    )
    async with bench.database.transaction() as session:
        return await TesterStore(session, bench.workshop).add(pattern, new)


async def records(bench: Bench, pattern: str, revision: str, limit: int, offset: int) -> Page[TesterRecord]:
    """The records of a revision in the order in which they came in. Raises Missing."""
    await read_revision(bench, pattern, revision)
    async with bench.database.transaction() as session:
        return await TesterStore(session, bench.workshop).records(pattern, revision, limit, offset)


def _faults(document: dict[str, Any], sewn: Sewn) -> Iterator[Fault]:
    sizes = (BASE_SIZE, *(document.get("sizes") or {}))
    if sewn.size not in sizes:
        yield Fault("size", f"no size is named {sewn.size!r}", f"the pattern has {', '.join(sizes)}")
    dimensions = document["dimensions"]
    for name, text in sewn.measures.items():
        if name not in dimensions:
            yield Fault(f"measures.{name[:60]}", "the pattern has no such dimension", "name one of its dimensions")
            continue
        try:
            size = read_length(text)
        except NotALength as error:
            yield Fault(f"measures.{name}", str(error), "write what was measured, with its unit")
            continue
        if size <= 0:
            yield Fault(f"measures.{name}", f"{text!r} is no measure of a bag", "write a length above 0")
    steps = len(document.get("steps") or ())
    for number, remark in enumerate(sewn.remarks):
        if remark.get("step") is not None and remark["step"] > steps:
            yield Fault(
                f"remarks.{number}.step", f"there is no step {remark['step']}", f"the pattern has {steps} steps"
            )
