"""Claims and verdicts: what is said of a grade, and whether it holds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

# Said with every verdict; a calculation does not know the cloth.
CLOSING = "Numbers checked; your cloth, quilting and sewing are not."

KINDS = (
    "limits",
    "fixed",
    "stock",
    "asked",
    "kept",
    "outline",
    "seam",
    "notch",
    "covering",
    "contents",
    "hold",
    "within",
    "finding",
    "rule",
    "cloth",
    "closed",
    "chain",
    "fate",
    "order",
    "allowance",
    "ruler",
    "ease",
    "displacement",
    "nearest",
    "volume",
    "conflict",
    "map",
    "laid",
    "inside",
    "apart",
    "turned",
    "nested",
    "motif",
    "fold",
    "border",
    "strips",
    "least",
    "supplies",
    "thread",
    "cost",
    "missing",
    "printed",
)


@dataclass(frozen=True, slots=True)
class Claim:
    """One statement about a grade: its kind, what it is about, both numbers as text, whether it holds, in words."""

    kind: str
    about: str
    left: str
    right: str
    holds: bool
    says: str


@dataclass(frozen=True)
class Verdict:
    """All claims about one grade, in the order of their kinds."""

    claims: tuple[Claim, ...]

    @property
    def failing(self) -> tuple[Claim, ...]:
        """The claims that do not hold."""
        return tuple(claim for claim in self.claims if not claim.holds)

    @property
    def holds(self) -> bool:
        """Whether every claim holds."""
        return all(claim.holds for claim in self.claims)

    @property
    def counts_by_kind(self) -> dict[str, int]:
        """How many claims there are of each kind."""
        counted = Counter(claim.kind for claim in self.claims)
        return {kind: counted[kind] for kind in KINDS if counted[kind]}

    def to_json(self) -> dict[str, Any]:
        """Return the verdict as plain data: counts, and every claim."""
        return {
            "holds": self.holds,
            "claims_held": sum(claim.holds for claim in self.claims),
            "claims_made": len(self.claims),
            "counts_by_kind": self.counts_by_kind,
            "failing": [asdict(claim) for claim in self.failing],
            "claims": [asdict(claim) for claim in self.claims],
            "closing": CLOSING,
        }


def verdict_of(claims: Iterable[Claim]) -> Verdict:
    """Return the verdict of the claims, grouped by kind."""
    order = {kind: index for index, kind in enumerate(KINDS)}
    return Verdict(tuple(sorted(claims, key=lambda claim: order[claim.kind])))
