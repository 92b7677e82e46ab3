"""Asking for grades, and reading them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy.exc import IntegrityError

from api import VERSION
from api.operations.errors import DocumentRefused, Missing, RequestRefused, RulerTooCoarse, SizeConflict
from api.operations.identity import grade_name
from api.operations.patterns import revision as read_revision
from api.operations.solving import solved
from api.storage.grades import GradeStore, NewGrade

if TYPE_CHECKING:
    from api.operations.bench import Bench
    from api.storage.records import GradeRecord


@dataclass(frozen=True)
class Asked:
    """A size: named, or requested; `ruler` replaces the pattern's."""

    size: str | None
    request: dict[str, Any] | None
    ruler: str | None


@dataclass(frozen=True)
class Made:
    """A grade, and whether it was made now."""

    grade: GradeRecord
    new: bool


async def make(bench: Bench, pattern: str, revision: str, asked: Asked) -> Made:
    """The grade of a revision at the size asked for; one that was made before is given again.

    Raises Missing, RequestRefused, SizeConflict, RulerTooCoarse and TooMuchWork; then nothing is stored.
    """
    source = await read_revision(bench, pattern, revision)
    request = _canonical(asked)
    name = grade_name(bench.workshop, revision, VERSION, request)
    known = await _found(bench, name)
    if known is not None:
        return Made(known, new=False)
    # Graded as it will be read back, names sorted, so that the document comes out the same when it is made anew.
    kept = Asked(**json.loads(request))
    graded = await solved(
        bench, "grade", document=source.document, size=kept.size, request=kept.request, ruler=kept.ruler
    )
    new = await _stored(bench, NewGrade(name, revision, VERSION, request, **graded))
    return Made(await read(bench, name), new=new)


async def read(bench: Bench, name: str) -> GradeRecord:
    """The grade; raises Missing."""
    found = await _found(bench, name)
    if found is None:
        raise Missing("grade", name)
    return found


async def answer(bench: Bench, name: str) -> str:
    """The answer to the request of a grade, as JSON text; computed anew for a grade that was stored without it.

    Raises Missing, also when an older grade does not come out the same any more; TooMuchWork.
    """
    found = await read(bench, name)
    if found.answer is not None:
        return found.answer
    source, asked = await read_revision(bench, found.pattern, found.revision), request_of(found)
    try:
        anew = await solved(
            bench, "grade", document=source.document, size=asked.size, request=asked.request, ruler=asked.ruler
        )
    except (DocumentRefused, RequestRefused, SizeConflict, RulerTooCoarse) as refused:
        raise Missing("answer of grade", name) from refused
    if anew["document"] != found.document:
        raise Missing("answer of grade", name)
    return str(anew["answer"])


async def regraded(bench: Bench, name: str) -> dict[str, Any]:
    """What a worker needs to make a grade anew, and the grade as it is stored; raises Missing."""
    found = await read(bench, name)
    source, asked = await read_revision(bench, found.pattern, found.revision), request_of(found)
    made_by = {"size": asked.size, "request": asked.request, "ruler": asked.ruler}
    return {"document": source.document, **made_by, "grade": found.document}


def request_of(grade: GradeRecord) -> Asked:
    """What a grade was asked by."""
    return Asked(**json.loads(grade.request))


async def _found(bench: Bench, name: str) -> GradeRecord | None:
    async with bench.database.transaction() as session:
        return await GradeStore(session, bench.workshop).grade(name)


async def _stored(bench: Bench, new: NewGrade) -> bool:
    try:
        async with bench.database.transaction() as session:
            await GradeStore(session, bench.workshop).add(new)
    except IntegrityError:
        # Another request for the same grade was quicker; what it stored is the same.
        return False
    return True


def _canonical(asked: Asked) -> str:
    return json.dumps(
        {"request": asked.request, "ruler": asked.ruler, "size": asked.size}, ensure_ascii=False, sort_keys=True
    )
