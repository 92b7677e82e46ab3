"""Shells: uses that seams have joined so far, and where such a shell is still open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from grading.check.bag import Bag, EdgeOfUse, edge_entries
from grading.model.seams import Seam


@dataclass(frozen=True)
class Gap:
    """An edge at which a shell is open: the seams that will close it; none where it stays as it is."""

    edge: EdgeOfUse
    waiting: tuple[Seam, ...]


class Shells:
    """Which uses and zips hang together by their edges, topstitching and what is laid on apart."""

    def __init__(self, bag: Bag, seams: Iterable[Seam] = ()) -> None:
        self._bag = bag
        self._sewn: set[str] = set()
        self._shells = {name: frozenset({name}) for name in (*bag.uses, *bag.model.draft.index.zips)}
        for seam in seams:
            self.sew(seam)

    def sew(self, seam: Seam) -> None:
        """Join the uses of a seam."""
        self._sewn.add(seam.name)
        if seam.written.kind != "topstitched":
            joined = frozenset(name for entry in edge_entries(seam) for name in self._shells[entry.use])
            if any(self._shells[name] != joined for name in joined):
                self._shells |= dict.fromkeys(joined, joined)

    def around(self, use: str) -> frozenset[str]:
        """The uses and zips that hang together with one."""
        return self._shells[use]

    def gaps(self, shell: Iterable[str]) -> Iterator[Gap]:
        """Where a shell is open: edges not yet sewn, and edges that no seam is to join. Edges of zips do not count."""
        for use in shell:
            for edge in self._bag.uses[use].outline.edges if use in self._bag.uses else ():
                key = (use, edge.name)
                held = [key] if key in self._bag.joined else []
                for covering in self._bag.caught.get(key, []):
                    over = self._bag.held_by(covering, edge.name)
                    held += [over] if over in self._bag.joined else []
                seams = {seam.name: seam for each in held for seam, _ in self._bag.joined[each]}
                waiting = tuple(seam for name, seam in seams.items() if name not in self._sewn)
                if not held or waiting:
                    yield Gap(key, waiting)

    def zips(self, shell: Iterable[str]) -> list[str]:
        """The zips in a shell."""
        return sorted(name for name in shell if self._bag.is_zip(name))
