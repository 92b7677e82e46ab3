"""The order of the stages: document, model, solve, cut, grade, proof. No other module knows it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from grading.compare import (
    Chart,
    Difference,
    Explanation,
    GradedSizes,
    Refusal,
    chart_table,
    compare,
    make_chart,
    refusal_of,
    write_answer,
    write_chart,
    write_difference,
)
from grading.compare import (
    explain as explain,
)
from grading.document import Pattern, SizeRequest, pattern_schema, read_pattern, read_request
from grading.document.options import choice_faults, full_choices, representative_choices, resolve, with_choices
from grading.document.requests import BASE
from grading.errors import Conflict, DocumentFaults, Fault, RequestFaults, RulerOutOfReach, SizewrightError, Stopped
from grading.exact import Ruler, read_ruler
from grading.fit import fit
from grading.grade import Grade, cut_list_table, make_grade, write_grade
from grading.model import Model, build_model
from grading.model.steps import unknown_measures
from grading.proof import Claim, prove, write_proof
from grading.solve import Compiled, compile_relations

BASE_SIZE = "base"
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Prepared:
    """A pattern drawn and compiled for one ruler: what all its sizes have in common; may be kept and reused."""

    model: Model
    compiled: Compiled


@dataclass(frozen=True)
class Variant:
    """What sizes must share to share what is prepared: the choice of every option, and the ruler."""

    choices: tuple[tuple[str, str], ...]
    ruler: Ruler


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
    """Read a pattern document from parsed JSON; every combination of its options is looked at (of more than
    MOST_COMBINATIONS a representative set, see `grading.document.options`).

    Raises DocumentFaults with all faults of its form, its names or its drawing, and Conflict if its seams and
    rules contradict each other whatever the size.
    """
    pattern = read_pattern(data)
    faults: dict[tuple[str, str], Fault] = {}
    for choices in representative_choices(pattern):
        try:
            compile_document(resolve(pattern, choices))
        except DocumentFaults as refused:
            for fault in refused.faults:
                told = Fault(fault.path, fault.problem + with_choices(pattern, choices), fault.remedy)
                faults.setdefault((fault.path, fault.problem), told)
    if faults:
        raise DocumentFaults(faults.values())
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
    pattern, ruler = resolved(document, wanted), ruler_of(document, wanted)
    if prepared is None or prepared.model.ruler != ruler or prepared.model.pattern != pattern:
        prepared = compile_document(pattern, ruler)
    fitted = fit(prepared.model, prepared.compiled, wanted, stop)
    options = full_choices(document, wanted.options or {})
    return make_grade(prepared.model, fitted.problem, name, wanted, fitted.solution, fitted.choice, options)


def resolved(document: Pattern, request: SizeRequest) -> Pattern:
    """The pattern that is left by a request's choice of options. Raises RequestFaults."""
    chosen = request.options or {}
    faults = tuple(choice_faults(document, chosen.items(), "request.options"))
    if faults:
        raise RequestFaults(faults)
    return resolve(document, chosen)


def variant_of(document: Pattern, size: str | None = None, request: Mapping[str, Any] | None = None) -> Variant:
    """Which variant of a pattern a size is graded in. Raises RequestFaults."""
    _, wanted = find_request(document, size, request)
    resolved(document, wanted)
    choices = full_choices(document, wanted.options or {})
    return Variant(tuple(choices.items()), ruler_of(document, wanted))


def prepare(document: Pattern, variant: Variant) -> Prepared:
    """Draw and compile one variant of a pattern: to be kept for all sizes of it."""
    return compile_document(resolve(document, dict(variant.choices)), variant.ruler)


def grade_sizes(document: Pattern, stop: Stop | None = None) -> GradedSizes:
    """Grade every named size, base first; one that cannot be made is kept with the reason. Raises Stopped."""
    kept: dict[Variant, Prepared] = {}
    sizes: dict[str, Grade | Refusal] = {}
    for name in dict.fromkeys((BASE_SIZE, *document.sizes)):
        if stop is not None and stop():
            raise Stopped
        try:
            variant = variant_of(document, size=name)
            kept[variant] = kept.get(variant) or prepare(document, variant)
            sizes[name] = grade_size(document, size=name, stop=stop, prepared=kept[variant])
        except Stopped:
            raise
        except SizewrightError as refused:
            sizes[name] = refusal_of(refused)
    return GradedSizes(document, sizes)


def size_chart(document: Pattern, stop: Stop | None = None) -> Chart:
    """All named sizes beside each other; those that cannot be made are told with the reason. Raises Stopped."""
    return make_chart(grade_sizes(document, stop))


def difference(old: Pattern, new: Pattern, stop: Stop | None = None) -> Difference:
    """What changes from one revision to another, in every size that both have. Raises Stopped."""
    return compare(grade_sizes(old, stop), grade_sizes(new, stop))


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


def chart_document(chart: Chart) -> dict[str, Any]:
    """The size chart as plain data for JSON."""
    return write_chart(chart)


def chart_csv(chart: Mapping[str, Any]) -> str:
    """The document of a size chart as CSV: a measure a row, a size a column."""
    return chart_table(chart)


def difference_document(difference: Difference) -> dict[str, Any]:
    """The difference of two revisions as plain data for JSON."""
    return write_difference(difference)


def answer_document(explanation: Explanation) -> dict[str, Any]:
    """The answer to a size request as plain data for JSON."""
    return write_answer(explanation)


def cut_list_csv(grade: Mapping[str, Any]) -> str:
    """The cut list of a grade's document as CSV."""
    return cut_list_table(grade)


def document_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the pattern document."""
    return pattern_schema()
