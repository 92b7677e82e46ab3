"""Fates: that each edge is joined, caught or finished exactly once, and bound where it says so."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from grading.verify.document.pattern import Pattern
from grading.verify.document.sides import Entry, Use
from grading.verify.exact.forms import Form
from grading.verify.exact.points import Point
from grading.verify.verdict import Claim

EdgeName = tuple[str, str]


def joined_entries(pattern: Pattern) -> dict[EdgeName, list[Entry]]:
    """Return, for each edge, the entries of seams that join it; topstitching joins nothing."""
    found: dict[EdgeName, list[Entry]] = defaultdict(list)
    for seam in pattern.seams.values():
        if seam.kind == "topstitched":
            continue
        for entry in (*seam.join, *seam.to):
            if not entry.is_line:
                found[entry.use.name, entry.name].append(entry)
    return found


def fate_claims(pattern: Pattern, point: Point) -> Iterator[Claim]:
    """Yield a claim for each edge of each use, and one for each edge that is or should be bound."""
    joined = joined_entries(pattern)
    caught: dict[EdgeName, int] = defaultdict(int)
    for covering in pattern.coverings.values():
        for catch in covering.catches:
            caught[covering.piece.name, catch.own_name] += 1
    bound: dict[EdgeName, list[Entry]] = defaultdict(list)
    for finding in pattern.findings.values():
        for entry in finding.along:
            bound[entry.use.name, entry.name].append(entry)
    for use in pattern.uses.values():
        for edge in use.outline.edges:
            key = use.name, edge
            if use.piece is not None:
                yield _fate_claim(use, edge, joined.get(key, []), caught.get(key, 0), point)
            yield from _bound_claims(use, edge, bound.get(key, []), point)


def _fate_claim(use: Use, edge: str, entries: Sequence[Entry], caught: int, point: Point) -> Claim:
    title = f"{use.name}.{edge}"
    fate = None if use.piece is None else use.piece.treatments[edge].fate
    found = ["joined"] * bool(entries) + ["caught"] * caught + ([fate] if fate else [])
    holds, says = len(found) == 1, f"{title} is {' and '.join(found)}"
    if not found:
        says = f"{title} is neither joined, nor caught, nor finished: say what becomes of it"
    elif len(found) > 1:
        says = f"{says}: an edge can be only one of these"
    elif entries and not tiles(entries, use.outline.edges[edge].length, point):
        holds, says = False, f"{title} is not joined once along its whole length: its parts overlap or leave a gap"
    return Claim("fate", f"fate:{title}", " and ".join(found) or "nothing", "one fate", holds, says)


def _bound_claims(use: Use, edge: str, entries: Sequence[Entry], point: Point) -> Iterator[Claim]:
    says_bound = use.piece is not None and use.piece.treatments[edge].is_bound
    if not says_bound and not entries:
        return
    title = f"{use.name}.{edge}"
    once = bool(entries) and tiles(entries, use.outline.edges[edge].length, point)
    if not entries:
        says = f"{title} is to be bound, and no binding goes along it"
    elif not says_bound:
        says = f"a binding goes along {title}, which does not say that it is bound"
    elif not once:
        says = f"{title} is bound more than once, or not along its whole length"
    else:
        says = f"{title} is bound once"
    left, right = "bound" if says_bound else "not bound", f"{len(entries)} binding(s)"
    yield Claim("fate", f"fate:{title}:bound", left, right, says_bound and once, says)


def tiles(entries: Sequence[Entry], length: Form, point: Point) -> bool:
    """Whether the parts cover an edge from its start to its end once, without overlap or gap."""
    if len(entries) == 1 and entries[0].start is None and entries[0].end is None:
        return True
    parts = sorted((entry.ends for entry in entries), key=lambda ends: point.near(ends[0]))
    if not (_is_nothing(parts[0][0], point) and _is_nothing(parts[-1][1] - length, point)):
        return False
    return all(point.near(end) > point.near(start) for start, end in parts) and all(
        _is_nothing(after[0] - before[1], point) for before, after in pairwise(parts)
    )


def _is_nothing(form: Form, point: Point) -> bool:
    low, high = point.enclosure(form)
    return low <= 0 <= high


def hemmed_edges(uses: Mapping[str, Use]) -> Iterator[EdgeName]:
    """Yield the edges of uses that are hemmed."""
    for use in uses.values():
        if use.piece is not None:
            for edge, treatment in use.piece.treatments.items():
                if treatment.fate in {"hemmed once", "hemmed twice"}:
                    yield use.name, edge
