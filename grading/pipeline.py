"""The order of the stages: document, model, solve, cut, grade, proof. No other module knows it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from grading.document import Pattern, SizeRequest, pattern_schema, read_pattern, read_request
from grading.document.requests import BASE
from grading.errors import Conflict, DocumentFaults, Fault, RequestFaults, RulerOutOfReach
from grading.exact import Ruler, read_ruler
from grading.grade import Grade, cut_list_table, make_grade, write_grade
from grading.model import Model, build_model, pose
from grading.model.steps import unknown_measures
from grading.proof import Claim, prove, write_proof
from grading.solve import Compiled, compile_relations, solve

BASE_SIZE = "base"
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Prepared:
    """A pattern drawn and compiled for one ruler: what all its sizes have in common; may be kept and reused."""

    model: Model
    compiled: Compiled


@dataclass(frozen=True)
class Check:
    """What a draft's check found: its faults, and how many relations and claims were looked at."""

    faults: tuple[Fault, ...]
    relations: int
    claims: int

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong with the draft."""
        return not self.faults


def read_document(data: object) -> Pattern:
    """Read a pattern document from parsed JSON.

    Raises DocumentFaults with all faults of its form, its names or its drawing, and Conflict if its seams and
    rules contradict each other whatever the size.
    """
    pattern = read_pattern(data)
    compile_document(pattern)
    return pattern


def compile_document(pattern: Pattern, ruler: Ruler | None = None) -> Prepared:
    """Draw and compile a pattern for a ruler (its own by default). Raises DocumentFaults and Conflict."""
    model = build_model(pattern, own_ruler(pattern) if ruler is None else ruler)
    unknown = unknown_measures(model)
    if unknown:
        raise DocumentFaults(
            Fault(f"steps.{number}.text", f"{{{path}}} is no measure", "write a dimension, or as in {side.length}")
            for number, path in unknown
        )
    return Prepared(model, compile_relations(tuple(model.draft.base), model.relations))


def own_ruler(pattern: Pattern) -> Ruler:
    """The ruler that a pattern is written for."""
    return read_ruler(pattern.ruler, pattern.unit)


def ruler_of(pattern: Pattern, request: SizeRequest) -> Ruler:
    """The ruler that a request is graded on."""
    return own_ruler(pattern) if request.ruler is None else read_ruler(request.ruler, pattern.unit)


def find_request(
    pattern: Pattern, size: str | None = None, request: Mapping[str, Any] | None = None
) -> tuple[str | None, SizeRequest]:
    """The request that a named size, or a request written out, stands for. Raises RequestFaults."""
    if (size is None) == (request is None):
        raise RequestFaults([Fault("request", "it names a size and a request, or neither", "give one of the two")])
    if request is not None:
        return None, read_request(request)
    if size == BASE_SIZE:
        return size, BASE
    if size not in pattern.sizes:
        known = ", ".join((BASE_SIZE, *pattern.sizes))
        raise RequestFaults([Fault("size", f"no size is named {size!r}", f"the pattern has {known}")])
    return size, pattern.sizes[size]


def grade_size(
    document: Pattern,
    size: str | None = None,
    request: Mapping[str, Any] | None = None,
    stop: Stop | None = None,
    prepared: Prepared | None = None,
) -> Grade:
    """Grade a pattern to one size: the nearest that keeps every relation, on the ruler, cut.

    `prepared` saves drawing and compiling anew if it is of this pattern and this ruler. Raises RequestFaults,
    Conflict, RulerOutOfReach, Stopped.
    """
    name, wanted = find_request(document, size, request)
    ruler = ruler_of(document, wanted)
    if prepared is None or prepared.model.ruler != ruler or prepared.model.pattern is not document:
        prepared = compile_document(document, ruler)
    problem = pose(prepared.model, wanted)
    return make_grade(prepared.model, problem, name, wanted, solve(problem, prepared.compiled, stop=stop))


def check_document(data: object) -> Check:
    """Check a draft: every fault of its form and drawing, or, where it can be graded, of its base size.

    Never raises for a draft, however wrong.
    """
    try:
        pattern = read_pattern(data)
        prepared = compile_document(pattern)
        grade = grade_size(pattern, size=BASE_SIZE, prepared=prepared)
    except DocumentFaults as refused:
        return Check(refused.faults, 0, 0)
    except (Conflict, RulerOutOfReach) as refused:
        return Check(tuple(_conflict_faults(refused)), 0, 0)
    claims = prove(grade)
    faults = tuple(_claim_fault(claim) for claim in claims if not claim.holds)
    return Check(faults, len(grade.problem.relations), len(claims))


def _conflict_faults(refused: Conflict | RulerOutOfReach) -> list[Fault]:
    remedy = refused.remedy if isinstance(refused, RulerOutOfReach) else "let one of these go, or loosen it"
    together = "; ".join(relation.says for relation in refused.relations)
    return [
        Fault(relation.path, f"in the base size these cannot all hold: {together}", remedy)
        for relation in refused.relations
    ]


def _claim_fault(claim: Claim) -> Fault:
    return Fault(
        claim.path, f"{claim.says}: it is {claim.left}, not {claim.right}", claim.remedy or "correct the draft"
    )


def grade_document(grade: Grade) -> dict[str, Any]:
    """The grade as plain data for JSON."""
    return write_grade(grade)


def proof_document(grade: Grade) -> dict[str, Any]:
    """The proof of a grade as plain data for JSON."""
    return write_proof(grade)


def cut_list_csv(grade: Mapping[str, Any]) -> str:
    """The cut list of a grade's document as CSV."""
    return cut_list_table(grade)


def document_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the pattern document."""
    return pattern_schema()
