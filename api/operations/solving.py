"""Tasks for the workers, their refusals turned into the errors of operations."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from api.jobs.executor import TaskRefused
from api.operations.errors import (
    DocumentRefused,
    DoesNotFit,
    Fault,
    GradeOutdated,
    OperationError,
    Relation,
    RequestRefused,
    RulerTooCoarse,
    SizeConflict,
    TooMuchWork,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.operations.bench import Bench


async def solved(bench: Bench, task: str, **arguments: Any) -> Any:
    """What the task gives; raises the error of `api.operations.errors` that its refusal stands for."""
    try:
        return await bench.solver.run(task, **arguments)
    except TaskRefused as refused:
        raise _error(refused) from refused


async def solved_long(
    bench: Bench, task: str, begun: Callable[[], None], heard: Callable[[Any], None], **arguments: Any
) -> Any:
    """The same for a long task; `begun` is told its start and `heard` its progress."""
    try:
        return await bench.solver.run_long(task, begun, heard, **arguments)
    except TaskRefused as refused:
        raise _error(refused) from refused


def _error(refused: TaskRefused) -> OperationError:
    content = refused.content
    match refused.kind:
        case "document":
            return DocumentRefused(_faults(content))
        case "request":
            return RequestRefused(_faults(content))
        case "conflict":
            shown = {part: given for part, given in content.items() if part not in {"kind", "relations"}}
            return SizeConflict(_relations(content), shown)
        case "ruler":
            return RulerTooCoarse(_relations(content), str(content["ruler"]), str(content["remedy"]))
        case "fit":
            return DoesNotFit(_faults(content))
        case "outdated":
            return GradeOutdated()
        case _:
            return TooMuchWork()


def _faults(content: dict[str, Any]) -> list[Fault]:
    return [Fault(**fault) for fault in content["faults"]]


def _relations(content: dict[str, Any]) -> list[Relation]:
    return [Relation(**relation) for relation in content["relations"]]
