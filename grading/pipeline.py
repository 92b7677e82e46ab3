"""The order of the stages: document, model, solve, cut, grade, proof. No other module knows it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from grading.answer import asked_size, explained, write_conflict, write_map
from grading.batch import BatchRequest, BatchResult, BatchSolver, Kind, SizeMap, read_batch
from grading.check import CUSTOMS, Attempt, Customs, Note, check_bag, fault_note, merged, parts_of
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
from grading.document import Pattern, pattern_schema, read_pattern, read_request
from grading.document.editions import System
from grading.document.editions import other_edition as edition_for
from grading.document.options import full_choices, representative_choices, resolve, with_choices
from grading.document.variants import (  # noqa: F401  (part of the public surface, like the functions below)
    BASE_SIZE,
    Variant,
    batch_variant,
    find_request,
    own_ruler,
    range_variant,
    resolved,
    ruler_of,
    variant_of,
)
from grading.errors import Conflict, DocumentFaults, Fault, RequestFaults, SizewrightError, Stopped
from grading.exact import Ruler
from grading.fit import fit, fits
from grading.grade import Grade, cut_list_table, make_grade, write_grade
from grading.model import Model, build_model
from grading.model.steps import unknown_measures
from grading.proof import prove, write_proof
from grading.ranges import Box, Choose, Others, Range, examine, write_range
from grading.solve import Compiled, compile_relations

UNGRADABLE = frozenset({"document", "drawing", "contradiction", "impossible", "undecided_dimension"})
"""Kinds of fault with which no size of a draft can be made."""
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Prepared:
    """A pattern drawn and compiled for one ruler: what all its sizes have in common; may be kept and reused."""

    model: Model
    compiled: Compiled


@dataclass(frozen=True)
class Check:
    """What a draft's check found: faults that must be mended, remarks that are worth a look, and how many relations and
    claims of the base size were looked at.
    """

    faults: tuple[Note, ...]
    remarks: tuple[Note, ...]
    relations: int
    claims: int

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong with the draft."""
        return not self.faults

    @property
    def gradable(self) -> bool:
        """Whether the draft can be read and drawn and does not contradict itself; it may still be unfinished."""
        return not any(note.kind in UNGRADABLE for note in self.faults)


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
    try:
        fitted = fit(prepared.model, prepared.compiled, wanted, stop)
    except Conflict as found:
        asked = asked_size(document, prepared.model, prepared.compiled, name, wanted)
        raise explained(asked, found, _works(document, stop), stop) from None
    options = full_choices(document, wanted.options or {})
    return make_grade(prepared.model, fitted.problem, name, wanted, fitted.solution, fitted.choice, options)


def _works(document: Pattern, stop: Stop | None) -> Callable[[Mapping[str, Any]], bool]:
    """Whether a request gives a size; what is prepared is kept from one to the next."""
    kept: dict[Variant, Prepared] = {}

    def works(request: Mapping[str, Any]) -> bool:
        try:
            wanted = read_request(request)
            variant = variant_of(document, request=request)
            kept[variant] = kept.get(variant) or prepare(document, variant)
            return fits(kept[variant].model, kept[variant].compiled, wanted, stop)
        except (Conflict, DocumentFaults, RequestFaults):
            return False

    return works


def prepare(document: Pattern, variant: Variant) -> Prepared:
    """Draw and compile one variant of a pattern: to be kept for all sizes of it."""
    return compile_document(resolve(document, dict(variant.choices)), variant.ruler)


def solve_batch(
    prepared: Prepared, requests: BatchRequest | Mapping[str, Any], stop: Stop | None = None
) -> BatchResult:
    """The nearest size of each of many requests of one kind, before the ruler; see `grading.batch`.

    Raises RequestFaults, DocumentFaults, Stopped.
    """
    unit = prepared.model.pattern.unit
    batch = requests if isinstance(requests, BatchRequest) else read_batch(requests, unit)
    return BatchSolver(prepared.model, prepared.compiled, batch.kind).solve(batch, stop)


def size_map(prepared: Prepared, kind: Kind) -> SizeMap:
    """The nearest sizes of one kind, before the ruler, one at a time and quickly. Raises RequestFaults."""
    return SizeMap(BatchSolver(prepared.model, prepared.compiled, kind))


def size_range(
    prepared: Prepared, choose: Choose | None = None, others: Others | None = None, stop: Stop | None = None
) -> Range:
    """Whether every size between these ends (those of the order form, if none are given) can be made, and what to offer
    if that is not proven. Raises RequestFaults, Stopped.
    """
    box = Box.of(prepared.model.pattern, choose, others)
    return examine(prepared.model, prepared.compiled, box, stop)


def range_document(found: Range, prepared: Prepared) -> dict[str, Any]:
    """What is known of a range as plain data for JSON."""
    return write_range(found, prepared.model)


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


def check_document(data: object, customs: Customs = CUSTOMS, stop: Stop | None = None) -> Check:
    """Check a draft: all faults of its form; where there are none, all of its drawing, its seams and steps, its sizes.

    Every combination of options is looked at in its base size (see `grading.document.options`), and every named size
    in its own. Never raises for a draft, however wrong, but Stopped where `stop` says so.
    """
    try:
        pattern = read_pattern(data)
    except DocumentFaults as refused:
        return Check(tuple(fault_note("document", found) for found in refused.faults), (), 0, 0)
    usual = full_choices(pattern, {})
    asked = [full_choices(pattern, request.options or {}) for request in pattern.sizes.values()]
    combinations = {tuple(each.items()): each for each in (usual, *asked, *representative_choices(pattern))}
    looks = [_look(pattern, choices, usual, customs, stop) for choices in combinations.values()]
    notes = merged([(look.title, look.parts, look.notes) for look in looks])
    base = next((attempt for attempt in looks[0].attempts if attempt.grade is not None), None)
    return Check(
        tuple(note for note in notes if not note.is_remark),
        tuple(note for note in notes if note.is_remark),
        0 if base is None or base.grade is None else len(base.grade.problem.relations),
        0 if base is None else len(base.claims),
    )


@dataclass(frozen=True)
class _Look:
    """What was found of one combination of options: how a text names it, which parts it has."""

    title: str
    parts: frozenset[str]
    attempts: tuple[Attempt, ...]
    notes: tuple[Note, ...]


def _look(
    document: Pattern, choices: Mapping[str, str], usual: Mapping[str, str], customs: Customs, stop: Stop | None
) -> _Look:
    if stop is not None and stop():
        raise Stopped
    pattern = resolve(document, choices)
    title, parts = with_choices(document, choices), parts_of(pattern)
    try:
        prepared = compile_document(pattern)
    except DocumentFaults as refused:
        return _Look(title, parts, (), tuple(fault_note("drawing", found) for found in refused.faults))
    except Conflict:
        return _Look(title, parts, (), check_bag(build_model(pattern, own_ruler(pattern)), None, (), customs))
    attempts = tuple(_attempts(document, choices, usual, prepared, stop))
    return _Look(title, parts, attempts, check_bag(prepared.model, prepared.compiled, attempts, customs))


def _attempts(
    document: Pattern,
    choices: Mapping[str, str],
    usual: Mapping[str, str],
    prepared: Prepared,
    stop: Stop | None,
) -> Iterator[Attempt]:
    """The base size with these options, and the named sizes that have them."""
    sizes = [
        size for size, request in document.sizes.items() if full_choices(document, request.options or {}) == choices
    ]
    for size in (BASE_SIZE, *sizes):
        is_usual = size != BASE_SIZE or choices == usual
        asked: dict[str, Any] = {"size": size} if is_usual else {"request": {"scale": 1, "options": dict(choices)}}
        try:
            grade = grade_size(document, **asked, prepared=prepared, stop=stop)
        except Stopped:
            raise
        except SizewrightError as refused:
            yield Attempt(size, refused=refused)
        else:
            yield Attempt(size, grade, prove(grade))


def grade_document(grade: Grade) -> dict[str, Any]:
    """The grade as plain data for JSON."""
    return write_grade(grade)


def proof_document(grade: Grade) -> dict[str, Any]:
    """The proof of a grade as plain data for JSON."""
    return write_proof(grade)


def conflict_document(conflict: Conflict) -> dict[str, Any]:
    """A conflict as plain data for JSON: what was asked, what cannot hold, what shows it, and what would do."""
    return write_conflict(conflict)


def solution_map(document: Pattern, prepared: Prepared, choices: Mapping[str, str] | None = None) -> dict[str, Any]:
    """The map of a pattern for all sizes as plain data for JSON.

    `choices` are those of the document's options that `prepared` is of; the usual ones if left out.
    """
    return write_map(prepared.model, prepared.compiled, full_choices(document, choices or {}))


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


def other_edition(document: Mapping[str, Any], system: System) -> dict[str, Any]:
    """The edition of a document for the other system of measures as plain data; see `grading.document.editions`."""
    return edition_for(document, system)


def document_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the pattern document."""
    return pattern_schema()
