"""The whole check of a drawn pattern."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grading.check.allowances import allowance_notes
from grading.check.attempts import Attempt
from grading.check.bag import Bag
from grading.check.cautions import caution_notes
from grading.check.chains import chain_notes
from grading.check.contradictions import contradiction_notes
from grading.check.corners import corner_notes, hardware_notes
from grading.check.customs import CUSTOMS, Customs
from grading.check.direction import direction_notes
from grading.check.edges import edge_notes
from grading.check.implied import implied_notes
from grading.check.notches import notch_notes
from grading.check.notes import Note
from grading.check.openings import opening_notes
from grading.check.order import order_notes
from grading.check.sizes import claim_notes, size_notes
from grading.check.steps import step_notes
from grading.check.turning import turning_notes
from grading.check.unused import unused_notes
from grading.model import Model
from grading.solve import Compiled


def check_bag(
    model: Model, compiled: Compiled | None, attempts: Sequence[Attempt] = (), customs: Customs = CUSTOMS
) -> tuple[Note, ...]:
    """Everything that there is to say of one pattern without options.

    `compiled` is None where its equations contradict each other; then no size can have been attempted.
    Faults come first, then remarks, each in the order of their concerns.
    """
    graded = next((attempt.grade for attempt in attempts if attempt.grade is not None), None)
    bag = Bag(model, model.draft.base if graded is None else graded.values)
    notes = list(_notes(bag, compiled, attempts, customs))
    notes += claim_notes(attempts, frozenset(note.kind for note in notes if not note.is_remark))
    notes = list(dict.fromkeys(notes))
    return (*(note for note in notes if not note.is_remark), *(note for note in notes if note.is_remark))


def _notes(bag: Bag, compiled: Compiled | None, attempts: Sequence[Attempt], customs: Customs) -> Iterator[Note]:
    if compiled is None:
        yield from contradiction_notes(bag)
    yield from size_notes(attempts)
    yield from edge_notes(bag)
    yield from allowance_notes(bag)
    yield from step_notes(bag)
    yield from chain_notes(bag)
    yield from order_notes(bag)
    yield from turning_notes(bag)
    yield from direction_notes(bag, customs)
    yield from opening_notes(bag, attempts, customs)
    yield from corner_notes(bag, attempts, customs)
    yield from hardware_notes(bag)
    yield from notch_notes(bag, customs)
    yield from unused_notes(bag)
    if compiled is not None:
        yield from implied_notes(bag, compiled)
    yield from caution_notes(bag)
