"""The order in which seams, hems and bindings are sewn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grading.grade import Grade
from grading.model.seams import Seam
from grading.supplies.sewing import hemmed_edges


@dataclass(frozen=True)
class Making:
    """One thing that is sewn: a seam, a hemmed edge (use and name), or a binding by its name.

    `hemmed` are the edges whose hems are sewn before it.
    """

    seam: Seam | None = None
    hem: tuple[str, str] | None = None
    binding: str | None = None
    hemmed: frozenset[tuple[str, str]] = frozenset()


class Earlier:
    """The seams that are made already, in order, and by the uses that they join."""

    def __init__(self) -> None:
        self.seams: list[Seam] = []
        self._by_use: dict[str, list[Seam]] = {}

    def add(self, seam: Seam) -> None:
        """One more is made."""
        self.seams.append(seam)
        for use in dict.fromkeys(entry.use for entry in (*seam.join, *seam.to)):
            self._by_use.setdefault(use, []).append(seam)

    def of(self, *uses: str) -> list[Seam]:
        """Those that join one of these uses to something."""
        return list({seam.name: seam for use in uses for seam in self._by_use.get(use, ())}.values())


def making(grade: Grade) -> Iterator[Making]:
    """All that is sewn, step by step; what no step names comes last: seams, hems, bindings."""
    seams = dict(grade.model.seams)
    hems = list(hemmed_edges(grade))
    bindings = [name for name, finding in grade.model.findings.items() if finding.written.binding is not None]
    hemmed: set[tuple[str, str]] = set()
    for step in grade.model.pattern.steps:
        for name in step.makes:
            if name in seams:
                yield Making(seam=seams.pop(name), hemmed=frozenset(hemmed))
        for reference in step.finishes:
            use, _, edge = reference.partition(".")
            if (use, edge) in hems:
                hems.remove((use, edge))
                hemmed.add((use, edge))
                yield Making(hem=(use, edge))
        for name in step.binds:
            if name in bindings:
                bindings.remove(name)
                yield Making(binding=name)
    yield from (Making(seam=seam, hemmed=frozenset(hemmed)) for seam in seams.values())
    yield from (Making(hem=edge) for edge in hems)
    yield from (Making(binding=name) for name in bindings)
