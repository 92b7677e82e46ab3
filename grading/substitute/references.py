"""Every place of a document where a use, an edge, a line or a notch is named, and what it names from now on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from grading.document.values import Expression
from grading.form import Form
from grading.substitute.apart import Drawing, is_never_below, refuse
from grading.substitute.layers import Json
from grading.substitute.texts import Writer

When = Mapping[str, Any] | None
"""The choices under which a part of a document is there."""
Named = tuple[str, str]
"""A use, and an edge, line or notch of it."""


@dataclass(frozen=True)
class NewEdge:
    """What an edge has become: one, or two in the order in which the outline runs, the first of this length."""

    names: tuple[str, ...]
    length: Form | None = None


@dataclass(frozen=True)
class Guard:
    """A length that must not fall below 0 in any size, and why."""

    form: Form
    because: str
    when: When = None


@dataclass
class Renaming:
    """What parts of uses are named from now on, and what has to hold so that it is true in every size.

    Lines that are cut in two have two names, and are sewn to nothing. `lengths` are above 0 in any case.
    """

    uses: Mapping[str, tuple[str, ...]]
    edges: dict[Named, NewEdge]
    lines: dict[Named, tuple[str, ...]] = field(default_factory=dict)
    notches: dict[Named, str] = field(default_factory=dict)
    lengths: tuple[Form, ...] = ()
    guards: list[Guard] = field(default_factory=list)

    def guard(self, form: Form, because: str, when: When) -> None:
        """Ask that a length never falls below 0, unless it cannot, or it is asked already; `when` it is there."""
        known = (Form(), *self.lengths, *(guard.form for guard in self.guards if guard.when in (None, when)))
        if not any(is_never_below(form - other) for other in known):
            self.guards.append(Guard(form, because, when))


@dataclass(frozen=True)
class References:
    """Rewrites the references of a document, in place."""

    renaming: Renaming
    drawing: Drawing
    writer: Writer

    def rewrite(self, document: Json) -> None:
        """Rewrite all of them but those of coverings and steps. Raises Refused."""
        for name, seam in document.get("seams", {}).items():
            for key, forward in (("join", True), ("to", False)):
                seam[key] = self.side(seam[key], f"seams.{name}.{key}", seam.get("when"), forward=forward)
            if seam.get("match") and len(seam["join"]) + len(seam["to"]) > 2:
                raise refuse(
                    "at",
                    f"the print runs on across {name}, and one of its edges would be divided",
                    "split it the other way, or take `match` out of this seam first",
                )
            if "notches" in seam:
                seam["notches"] = [[self.notch(reference) for reference in pair] for pair in seam["notches"]]
        for name, finding in document.get("findings", {}).items():
            if "binding" in finding:
                binding = finding["binding"]
                binding["along"] = self.side(
                    binding["along"], f"findings.{name}.binding.along", finding.get("when"), forward=True
                )
        for step in document.get("steps", ()):
            self._step(step)

    def _step(self, step: Json) -> None:
        if "uses" in step:
            step["uses"] = [new for name in step["uses"] for new in self.renaming.uses.get(name, (name,))]
        if "finishes" in step:
            step["finishes"] = self.side(step["finishes"], "steps", step.get("when"), forward=True)

    def notch(self, reference: str) -> str:
        """The reference of a notch."""
        use, _, name = reference.partition(".")
        return self.renaming.notches.get((use, name), reference)

    def side(self, entries: list[Any], path: str, when: When, *, forward: bool) -> list[Any]:
        """The entries of a side that is there by choice or always; `forward` is the direction of those without one."""
        return [new for entry in entries for new in self._entry(entry, path, when, forward)]

    def _entry(self, entry: Any, path: str, when: When, forward: bool) -> Iterator[Any]:
        if isinstance(entry, dict) and "line" in entry:
            yield self._line(entry, path)
            return
        written = {"edge": entry} if isinstance(entry, str) else entry
        reference, _, word = written["edge"].partition(" ")
        use, _, edge = reference.partition(".")
        new = self.renaming.edges.get((use, edge))
        if new is None:
            yield entry
            return
        direction = word or written.get("direction")
        places = (written.get("from"), written.get("to"))
        parts = list(self._parts(new, places, f"{reference} in {path}", when))
        if direction == "backward" or (direction is None and not forward):
            parts.reverse()
        for name, start, end in parts:
            yield _written(name, start, end, direction)

    def _line(self, entry: Json, path: str) -> Json:
        use, _, line = entry["line"].partition(".")
        new = self.renaming.lines.get((use, line), (entry["line"],))
        if len(new) > 1:
            raise refuse(
                "at",
                f"the line {entry['line']} of {path} lies across the split",
                "split it elsewhere, or sew the line in two seams",
            )
        return {**entry, "line": new[0]}

    def _parts(
        self, new: NewEdge, places: tuple[Expression | None, Expression | None], what: str, when: When
    ) -> Iterator[tuple[str, Expression | None, Expression | None]]:
        """The new edges, or the parts of them, that a part of an edge becomes."""
        start, end = places
        if new.length is None:
            yield new.names[0], start, end
            return
        form, at_base, guard = self.drawing.form, self.drawing.at_base, self.renaming.guard
        begins, ends = (None if each is None else form(each) for each in (start, end))
        place, because = at_base(new.length), f"the part of {what} ends where it is drawn, on its side of the split"
        if ends is not None and at_base(ends) <= place:
            guard(new.length - ends, because, when)
            yield new.names[0], start, None if (new.length - ends).is_zero else end
        elif begins is not None and at_base(begins) >= place:
            guard(begins - new.length, because, when)
            yield new.names[1], self._moved(begins, new.length), self._moved(ends, new.length)
        else:
            if begins is not None:
                guard(new.length - begins, because, when)
            if ends is not None:
                guard(ends - new.length, because, when)
            yield new.names[0], start, None
            yield new.names[1], None, self._moved(ends, new.length)

    def _moved(self, place: Form | None, by: Form) -> str | None:
        """The text of a place counted from further on; None for the very start, and for the end."""
        if place is None or (place - by).is_zero:
            return None
        return self.writer.text(place - by)


def _written(name: str, start: Expression | None, end: Expression | None, direction: str | None) -> Any:
    if start is None and end is None:
        return name if direction is None else f"{name} {direction}"
    parts = {"edge": name, "from": start, "to": end, "direction": direction}
    return {key: value for key, value in parts.items() if value is not None}
