"""The bag that is checked: its model, and which seam, covering and step has to do with each of its edges."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from grading.document.index import read_entry
from grading.document.pieces import EdgeSettings
from grading.document.steps import Step
from grading.exact import Enclosure
from grading.form import Form
from grading.grade.steps import enclosure_text
from grading.model import Model
from grading.model.coverings import Covering
from grading.model.pieces import Piece
from grading.model.seams import Seam, SeamEntry
from grading.model.segment import Edge

EdgeOfUse = tuple[str, str]
"""A use (or zip) and one of its edges."""
HEMS = frozenset({"hemmed once", "hemmed twice"})
SOFT = frozenset({"foam"})
Steps = tuple[int, ...]
"""Numbers of steps, from 0."""


@dataclass(frozen=True)
class Bag:
    """A pattern as symbols, and its base size in mm: as graded, or as drafted where it cannot be graded."""

    model: Model
    values: Mapping[str, Fraction]

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps of the making."""
        return self.model.pattern.steps

    def at(self, form: Form) -> Enclosure:
        """A length at the base size."""
        return form.enclosure(self.values)

    def text(self, form: Form) -> str:
        """A length at the base size as a maker reads it."""
        return enclosure_text(self.model.ruler, self.at(form))

    @cached_property
    def uses(self) -> dict[str, Piece]:
        """The piece of each use, in document order; a piece with a broken outline has none."""
        return {name: self.model.pieces[use.piece] for name, use in self.model.draft.index.uses.items()}

    def is_mirrored(self, use: str) -> bool:
        """Whether a use is cut mirrored."""
        return self.model.draft.index.uses[use].mirrored

    def is_zip(self, use: str) -> bool:
        """Whether a name is that of a zip."""
        return use in self.model.draft.index.zips

    @property
    def edges(self) -> Iterator[tuple[str, Piece, Edge]]:
        """Each edge of each use."""
        for name, piece in self.uses.items():
            for edge in piece.outline.edges:
                yield name, piece, edge

    def settings(self, edge: EdgeOfUse) -> EdgeSettings:
        """What the document says of an edge of a use."""
        return self.uses[edge[0]].settings(edge[1])

    def path(self, edge: EdgeOfUse) -> str:
        """Where an edge is written."""
        return f"pieces.{self.uses[edge[0]].name}.edges.{edge[1]}"

    def path_of_use(self, use: str) -> str:
        """Where a use is written."""
        piece = self.uses[use]
        names = [named.name for named in piece.written.named_uses(piece.name)]
        return f"pieces.{piece.name}.uses.{names.index(use)}" if piece.written.uses else f"pieces.{piece.name}"

    @cached_property
    def joined(self) -> dict[EdgeOfUse, list[tuple[Seam, SeamEntry]]]:
        """The seams, topstitching apart, that join each edge, and with which part of it."""
        found: dict[EdgeOfUse, list[tuple[Seam, SeamEntry]]] = {}
        for seam in self.model.seams.values():
            if seam.written.kind != "topstitched":
                for entry in edge_entries(seam):
                    found.setdefault((entry.use, entry.edge.name), []).append((seam, entry))
        return found

    @cached_property
    def caught(self) -> dict[EdgeOfUse, list[Covering]]:
        """The coverings that catch each edge of the piece laid on."""
        found: dict[EdgeOfUse, list[Covering]] = {}
        for covering in self.model.coverings.values():
            for own in covering.written.caught:
                found.setdefault((covering.written.piece, own), []).append(covering)
        return found

    def held_by(self, covering: Covering, own: str) -> EdgeOfUse:
        """The edge of the piece below that an own edge of a covering is caught in."""
        return covering.written.over, covering.written.caught[own]

    @cached_property
    def bound(self) -> dict[EdgeOfUse, list[tuple[str, int]]]:
        """The bindings that go along each edge, and as which of their entries."""
        found: dict[EdgeOfUse, list[tuple[str, int]]] = {}
        for name, finding in self.model.findings.items():
            for number, entry in enumerate(finding.along):
                found.setdefault((entry.use, entry.edge.name), []).append((name, number))
        return found

    @cached_property
    def laid_uses(self) -> frozenset[str]:
        """Uses that are laid on others."""
        return frozenset(covering.written.piece for covering in self.model.coverings.values())

    @cached_property
    def made(self) -> dict[str, Steps]:
        """The steps that make each seam."""
        return self._named("makes", self.model.seams)

    @cached_property
    def laid(self) -> dict[str, Steps]:
        """The steps that lay each covering."""
        return self._named("lays", self.model.coverings)

    @cached_property
    def binds(self) -> dict[str, Steps]:
        """The steps that sew each binding."""
        bindings = [name for name, finding in self.model.findings.items() if finding.written.binding is not None]
        return self._named("binds", bindings)

    @cached_property
    def hemmed(self) -> dict[EdgeOfUse, Steps]:
        """The steps that finish each edge that is to be hemmed."""
        hems: dict[EdgeOfUse, Steps] = {
            (use, edge.name): () for use, piece, edge in self.edges if piece.settings(edge.name).fate in HEMS
        }
        for number, step in enumerate(self.steps):
            for entry in map(read_entry, step.finishes):
                key = (entry.use, entry.edge)
                if key in hems:
                    hems[key] = (*hems[key], number)
        return hems

    def _named(self, key: str, names: Iterable[str]) -> dict[str, Steps]:
        found: dict[str, Steps] = dict.fromkeys(names, ())
        for number, step in enumerate(self.steps):
            for name in getattr(step, key):
                found[name] = (*found[name], number)
        return found

    def materials(self, use: str) -> tuple[str, ...]:
        """The kinds of material that a use is cut from."""
        return tuple(self.model.pattern.materials[layer.material].kind for layer in self.uses[use].layers)

    def has_foam(self, use: str) -> bool:
        """Whether foam is one of its layers."""
        return bool(SOFT & {*self.materials(use)})


def edge_entries(seam: Seam) -> list[SeamEntry]:
    """The entries of both sides that are edges, not lines."""
    return [entry for entry in (*seam.join, *seam.to) if not entry.is_line]


def first(steps: Sequence[int]) -> int | None:
    """The first of some steps, if there is one."""
    return min(steps, default=None)


def step_name(number: int) -> str:
    """A step as a maker counts: from 1."""
    return f"step {number + 1}"
