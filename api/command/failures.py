"""What a person reads when a command cannot do what was asked, and the exit code that goes with it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import grading
from api.command.files import to_json
from api.command.tables import printable_lines
from grading.errors import Conflict, DocumentFaults, LayoutFaults, RequestFaults, RulerOutOfReach, SizewrightError

if TYPE_CHECKING:
    from api.command.files import Unreadable
    from grading.errors import Fault, RelationInConflict

REFUSED = 1
UNREADABLE = 2


def unreadable(failure: Unreadable) -> int:
    """Says on the standard error which file cannot be read or written; gives exit code 2."""
    print(printable_lines(f"sizewright: {failure}"), file=sys.stderr)
    return UNREADABLE


def refused(failure: SizewrightError, *, as_json: bool) -> int:
    """Lists all faults, or all relations that contradict each other; gives exit code 1.

    As JSON it goes to the standard output, in place of what was asked for; as text to the standard error.
    """
    if as_json:
        print(to_json(_content(failure)))
    else:
        print(printable_lines("\n".join(_lines(failure))), file=sys.stderr)
    return REFUSED


def _content(failure: SizewrightError) -> dict[str, object]:
    if isinstance(failure, DocumentFaults | RequestFaults | LayoutFaults):
        return {"faults": [_fault(fault) for fault in failure.faults]}
    if isinstance(failure, RulerOutOfReach):
        relations = [_relation(relation) for relation in failure.relations]
        return {"ruler": failure.ruler, "relations": relations, "remedy": failure.remedy}
    if isinstance(failure, Conflict):
        return grading.conflict_document(failure)
    return {"problem": str(failure)}


def _fault(fault: Fault) -> dict[str, str]:
    return {"path": fault.path, "problem": fault.problem, "remedy": fault.remedy}


def _relation(relation: RelationInConflict) -> dict[str, str]:
    return {"id": relation.id, "says": relation.says, "because": relation.because, "path": relation.path}


def _lines(failure: SizewrightError) -> list[str]:
    if isinstance(failure, DocumentFaults | RequestFaults | LayoutFaults):
        about = _about(failure)
        count = len(failure.faults)
        head = f"The {about} has {count} {'fault' if count == 1 else 'faults'}:"
        return [head, *(line for fault in failure.faults for line in _of_fault(fault))]
    if isinstance(failure, RulerOutOfReach):
        head = f"On a ruler of {failure.ruler} these cannot be kept:"
        return [head, *_of_relations(failure.relations), f"  remedy: {failure.remedy}"]
    if isinstance(failure, Conflict):
        head = "These cannot all hold together; without any one of them the others can:"
        return [head, *_of_relations(failure.relations), *_of_conflict(failure)]
    return [str(failure)]


def _about(failure: DocumentFaults | RequestFaults | LayoutFaults) -> str:
    if isinstance(failure, DocumentFaults):
        return "pattern"
    if isinstance(failure, LayoutFaults):
        return "layout asked for"
    changes = any(fault.path.split(".")[0] == "changes" for fault in failure.faults)
    return "list of changes" if changes else "size asked for"


def _of_conflict(failure: Conflict) -> list[str]:
    lines = [f"  {limit.says}" for limit in failure.limits]
    if lines:
        lines.insert(0, "What each needs, and what it could come to if all others held:")
    for number, further in enumerate(failure.further, start=2):
        lines += [f"These cannot all hold together either (set {number}):", *_of_relations(further.relations)]
    if failure.remedies:
        lines += ["What would do, the nearest first:", *(f"  {remedy.change}" for remedy in failure.remedies)]
    return lines


def _of_fault(fault: Fault) -> list[str]:
    return [f"  {fault.path or 'the document'}: {fault.problem}", f"    remedy: {fault.remedy}"]


def _of_relations(relations: tuple[RelationInConflict, ...]) -> list[str]:
    return [
        line
        for relation in relations
        for line in (f"  {relation.says} ({relation.path})", f"    because: {relation.because}")
    ]
