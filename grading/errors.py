"""Everything that the library raises on purpose.

SizewrightError
├── DocumentFaults      a pattern document cannot be used; all faults at once
├── RequestFaults       a size request cannot be used; all faults at once
├── Conflict            relations that cannot hold together, an irreducible set of them
├── RulerOutOfReach     no size near the nearest one lies on this ruler with every join kept
├── LayoutFaults        pieces cannot be laid as asked; all faults at once
├── PieceDoesNotFit     a piece is wider than the cloth that it is cut from
└── Stopped             the caller's stop callback asked to end
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: where (a path in the document), what, and what would be right."""

    path: str
    problem: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.path}: {self.problem} ({self.remedy})"


@dataclass(frozen=True)
class RelationInConflict:
    """A relation as a person meets it in a conflict: its name, what it says, the reason, where it is written."""

    id: str
    says: str
    because: str
    path: str


@dataclass(frozen=True)
class ConflictBranch:
    """Why one combination of stock values (and one way to turn a box) is a contradiction; exact.

    The forms of the relations, each times its multiplier, pi as PI40, add up to a negative length without any
    dimension; of inequalities the multipliers are above zero. The first multiplier is 1 or -1.
    """

    stock: Mapping[str, Fraction]
    multipliers: Mapping[str, Fraction]
    order: tuple[int, int, int] | None = None


@dataclass(frozen=True)
class ConflictSet:
    """Relations that cannot hold together, none of which can be spared, and what shows it for every combination.

    The certificate is empty where roots that differ take part (nothing is shown then but that no size was found), and
    where there are too many combinations to list.
    """

    relations: tuple[RelationInConflict, ...]
    certificate: tuple[ConflictBranch, ...]


@dataclass(frozen=True)
class ConflictLimit:
    """What a relation in conflict needs, and what it could come to if all others of its set held; in words too."""

    relation: str
    needs: str
    reaches: str
    says: str


@dataclass(frozen=True)
class Remedy:
    """A change with which a size was found, on its ruler too: in words, and as a request where a request can ask it.

    `distance` is the sum of |change| / max(|what it was|, 20 mm); 1 for each other choice of an option.
    """

    change: str
    request: Mapping[str, Any] | None
    distance: Fraction


@dataclass(frozen=True)
class Refused:
    """What was asked when a conflict came up: the pattern's name, the size's name and request, the ruler."""

    pattern: str
    size: str | None
    request: Mapping[str, Any]
    ruler: str


class SizewrightError(Exception):
    """The root of all errors that the library raises on purpose."""


class DocumentFaults(SizewrightError):
    """A pattern document that cannot be used, with all of its faults."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))


class RequestFaults(SizewrightError):
    """A size request that cannot be used, with all of its faults."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))


class Conflict(SizewrightError):
    """Relations that cannot hold together; leaving out any one of them would let the others hold.

    certificate  what shows it; see ConflictSet
    further      sets that are left when what can give way in those before gives way
    limits       what relations of the first set need, and what they could come to
    remedies     changes that were tried and do, the nearest first
    refused      what was asked, where a size was
    """

    def __init__(
        self,
        relations: Iterable[RelationInConflict],
        certificate: Iterable[ConflictBranch] = (),
        further: Iterable[ConflictSet] = (),
        limits: Iterable[ConflictLimit] = (),
        remedies: Iterable[Remedy] = (),
        refused: Refused | None = None,
    ) -> None:
        self.relations = tuple(relations)
        self.certificate = tuple(certificate)
        self.further = tuple(further)
        self.limits = tuple(limits)
        self.remedies = tuple(remedies)
        self.refused = refused
        listed = "; ".join(f"{relation.says} ({relation.because})" for relation in self.relations)
        super().__init__(f"these cannot all hold: {listed}")


class RulerOutOfReach(SizewrightError):
    """A ruler on which the joins named here cannot be kept, and what would make it right."""

    def __init__(self, relations: Iterable[RelationInConflict], ruler: str, remedy: str) -> None:
        self.relations = tuple(relations)
        self.ruler = ruler
        self.remedy = remedy
        listed = "; ".join(relation.says for relation in self.relations)
        super().__init__(f"on a ruler of {ruler} these cannot be kept: {listed} ({remedy})")


class LayoutFaults(SizewrightError):
    """Settings of a layout, or places of a print, that cannot be kept, with all of their faults."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))


class PieceDoesNotFit(SizewrightError):
    """A piece that is wider than its cloth in every way that it may lie, with what would help.

    cloth     the role of the cloth
    letter    the piece's letter, its name and its layer
    needs     how wide it lies at least, a text on the grade's ruler
    width     how wide the cloth is, likewise
    remedies  what would make it fit, in words
    """

    def __init__(
        self, cloth: str, letter: str, piece: str, layer: str, needs: str, width: str, remedies: Iterable[str]
    ) -> None:
        self.cloth = cloth
        self.letter = letter
        self.piece = piece
        self.layer = layer
        self.needs = needs
        self.width = width
        self.remedies = tuple(remedies)
        super().__init__(
            f"{piece} ({letter}, {layer}) needs {needs} across, and {cloth} has {width} to lay it on"
            f" ({'; or '.join(self.remedies)})"
        )


class Stopped(SizewrightError):
    """The caller asked to stop before the size was found."""
