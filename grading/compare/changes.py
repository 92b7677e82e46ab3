"""What has changed: lengths, numbers and texts of a part before and after, by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from fractions import Fraction
from typing import Literal

from grading.compare.texts import apart, shown, shown_change
from grading.exact import Enclosure, Ruler

Value = Enclosure | int | str
Facts = Mapping[str, Value]
"""What is told of a part, by name: lengths in mm as enclosures, numbers, texts."""


@dataclass(frozen=True)
class Change:
    """One measure, number or text that has changed; None on the side that has none.

    `by` is how much longer a length has become (with its sign), or how much greater a number; None for texts.
    `amount` is the same in mm, exact, where both lengths are.
    """

    what: str
    before: str | None
    after: str | None
    by: str | None = None
    amount: Fraction | None = None


@dataclass(frozen=True)
class PartChange:
    """A piece, seam, covering or finding that was added, removed or changed."""

    name: str
    kind: Literal["added", "removed", "changed"]
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Rulers:
    """The rulers on which the two sides are written."""

    before: Ruler
    after: Ruler


def part_changes(before: Mapping[str, Facts], after: Mapping[str, Facts], rulers: Rulers) -> tuple[PartChange, ...]:
    """The parts that were removed or changed, in their old order, then those that were added."""
    found: list[PartChange] = []
    for name, facts in before.items():
        if name not in after:
            found.append(PartChange(name, "removed", ()))
        elif changes := fact_changes(facts, after[name], rulers):
            found.append(PartChange(name, "changed", changes))
    found += [PartChange(name, "added", ()) for name in after if name not in before]
    return tuple(found)


def fact_changes(before: Facts, after: Facts, rulers: Rulers) -> tuple[Change, ...]:
    """What differs between the facts of two sides, in the old order, then what is new."""
    names = dict.fromkeys((*before, *after))
    changes = (_change(name, before.get(name), after.get(name), rulers) for name in names)
    return tuple(change for change in changes if change is not None)


def step_changes(before: tuple[str, ...], after: tuple[str, ...]) -> tuple[Change, ...]:
    """Steps that read otherwise, were left out or added; numbered as they were, or, if new, as they are."""
    changes: list[Change] = []
    for tag, old_from, old_to, new_from, new_to in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag != "equal":
            changes += _paired(before, after, range(old_from, old_to), range(new_from, new_to))
    return tuple(changes)


def _paired(before: tuple[str, ...], after: tuple[str, ...], old: range, new: range) -> Iterator[Change]:
    for place in range(max(len(old), len(new))):
        was = before[old[place]] if place < len(old) else None
        reads = after[new[place]] if place < len(new) else None
        number = old[place] if place < len(old) else new[place]
        yield Change(f"step {number + 1}", was, reads)


def _change(name: str, before: Value | None, after: Value | None, rulers: Rulers) -> Change | None:
    if isinstance(before, Enclosure) and isinstance(after, Enclosure):
        if not apart(before, after):
            return None
        exact = before.low == before.high and after.low == after.high
        return Change(
            name,
            shown(rulers.before, before),
            shown(rulers.after, after),
            shown_change(rulers.after, before, after),
            after.low - before.low if exact else None,
        )
    if before == after:
        return None
    by = f"{after - before:+d}" if isinstance(before, int) and isinstance(after, int) else None
    return Change(name, _text(before, rulers.before), _text(after, rulers.after), by)


def _text(value: Value | None, ruler: Ruler) -> str | None:
    if value is None:
        return None
    return shown(ruler, value) if isinstance(value, Enclosure) else str(value)
