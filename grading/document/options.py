"""Options: parts of a pattern that may be left out or swapped, and the pattern that a choice leaves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations, product
from typing import Any

from grading.document.choices import Choices, holds
from grading.document.pattern import Pattern
from grading.document.pieces import Piece
from grading.document.steps import Step
from grading.errors import Fault

MOST_COMBINATIONS = 64
"""How many combinations are all looked at; of more, a representative set is."""

_SECTIONS = ("dimensions", "pieces", "seams", "coverings", "contents", "findings", "rules")
_STEP_LISTS = ("uses", "makes", "lays", "finishes", "binds")


def full_choices(pattern: Pattern, chosen: Choices) -> dict[str, str]:
    """A choice for every option of a pattern: the chosen ones, the others as usual."""
    return {name: chosen.get(name, option.usual) for name, option in pattern.options.items()}


def with_choices(pattern: Pattern, choices: Choices) -> str:
    """How a text about one combination names it; nothing for a pattern without options."""
    return f" (with {', '.join(f'{name}: {choice}' for name, choice in choices.items())})" if pattern.options else ""


def resolve(pattern: Pattern, chosen: Choices) -> Pattern:
    """The pattern that is left by a choice of options: without parts whose condition does not hold.

    A pattern without options is given back as it is. Steps forget the names of parts that are left out; a step that
    named parts and has none left goes with them.
    """
    if not pattern.options:
        return pattern
    choices = full_choices(pattern, chosen)
    kept: dict[str, Any] = {
        section: {name: part for name, part in getattr(pattern, section).items() if holds(part.when, choices)}
        for section in _SECTIONS
    }
    kept["pieces"] = {name: _without_parts(piece, choices) for name, piece in kept["pieces"].items()}
    steps = tuple(step for step in pattern.steps if holds(step.when, choices))
    thinner = pattern.model_copy(update={**kept, "steps": steps, "options": {}})
    gone = _names(pattern) - _names(thinner)
    kept_steps = tuple(left for step in steps if (left := _step_without(step, gone)) is not None)
    return thinner.model_copy(update={"steps": kept_steps})


def _without_parts(piece: Piece, choices: Choices) -> Piece:
    return piece.model_copy(
        update={
            "layers": tuple(layer for layer in piece.layers if holds(layer.when, choices)),
            "notches": {name: notch for name, notch in piece.notches.items() if holds(notch.when, choices)},
            "lines": {name: line for name, line in piece.lines.items() if holds(line.when, choices)},
        }
    )


def _names(pattern: Pattern) -> set[str]:
    """The names that steps may use: of uses, seams, coverings and findings."""
    uses = {use.name for name, piece in pattern.pieces.items() for use in piece.named_uses(name)}
    return uses | {*pattern.seams} | {*pattern.coverings} | {*pattern.findings}


def _step_without(step: Step, gone: set[str]) -> Step | None:
    lists = {key: getattr(step, key) for key in _STEP_LISTS}
    left = {key: tuple(name for name in names if name.split(".")[0] not in gone) for key, names in lists.items()}
    if left == lists:
        return step
    return step.model_copy(update=left) if any(left.values()) else None


def option_faults(pattern: Pattern) -> Iterator[Fault]:
    """Conditions and requests that name options or choices which the document does not have."""
    for path, when in _conditions(pattern):
        for name, wanted in when.items():
            choices = (wanted,) if isinstance(wanted, str) else wanted
            yield from choice_faults(pattern, ((name, choice) for choice in choices), path)
    for size, request in pattern.sizes.items():
        yield from choice_faults(pattern, (request.options or {}).items(), f"sizes.{size}.options")
    for place, name in enumerate((None if pattern.order is None else pattern.order.options) or ()):
        if name not in pattern.options:
            known = ", ".join(pattern.options) or "none"
            yield Fault(f"order.options.{place}", f"no option is named {name!r}", f"the document has {known}")


def choice_faults(pattern: Pattern, chosen: Iterable[tuple[str, str]], path: str) -> Iterator[Fault]:
    """Which of these choices the document does not allow."""
    for name, choice in chosen:
        if name not in pattern.options:
            known = ", ".join(pattern.options) or "none"
            yield Fault(f"{path}.{name}", f"no option is named {name!r}", f"the document has {known}")
        elif choice not in pattern.options[name].choices:
            known = ", ".join(pattern.options[name].choices)
            yield Fault(f"{path}.{name}", f"{choice!r} is no choice of {name!r}", f"choose one of {known}")


def _conditions(pattern: Pattern) -> Iterator[tuple[str, Mapping[str, str | tuple[str, ...]]]]:
    for section in _SECTIONS:
        for name, part in getattr(pattern, section).items():
            yield f"{section}.{name}.when", part.when or {}
    for name, piece in pattern.pieces.items():
        for number, layer in enumerate(piece.layers):
            yield f"pieces.{name}.layers.{number}.when", layer.when or {}
        for key in ("notches", "lines"):
            for inner, part in getattr(piece, key).items():
                yield f"pieces.{name}.{key}.{inner}.when", part.when or {}
    for number, step in enumerate(pattern.steps):
        yield f"steps.{number}.when", step.when or {}


def count_combinations(pattern: Pattern) -> int:
    """How many combinations of choices the document allows."""
    total = 1
    for option in pattern.options.values():
        total *= len(option.choices)
    return total


def representative_choices(pattern: Pattern) -> Iterator[dict[str, str]]:
    """All combinations, or, of more than MOST_COMBINATIONS, the usual one and every pair of choices beside it."""
    names = list(pattern.options)
    choices = {name: option.choices for name, option in pattern.options.items()}
    if count_combinations(pattern) <= MOST_COMBINATIONS:
        for picked in product(*choices.values()):
            yield dict(zip(names, picked, strict=True))
        return
    usual = full_choices(pattern, {})
    yield usual
    seen = {tuple(usual.values())}
    for pair in combinations(names, 2):
        for first, second in product(choices[pair[0]], choices[pair[1]]):
            combination = {**usual, pair[0]: first, pair[1]: second}
            if tuple(combination.values()) not in seen:
                seen.add(tuple(combination.values()))
                yield combination
