"""Orders: that the steps make everything once, in an order that can be sewn."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from grading.verify.document.coverings import Covering
from grading.verify.document.pattern import Pattern
from grading.verify.making.fates import hemmed_edges
from grading.verify.verdict import Claim


def order_claims(pattern: Pattern) -> Iterator[Claim]:
    """Yield the claims about the order of making; none for a pattern without steps."""
    if not pattern.steps:
        return
    made = Counter(title for step in pattern.steps for title in step.makes)
    laid = Counter(title for step in pattern.steps for title in step.lays)
    finished = Counter(edge for step in pattern.steps for edge in step.finishes)
    sewn = Counter(title for step in pattern.steps for title in step.binds)
    for title in pattern.seams:
        yield _once(f"order:seam:{title}", f"seam {title} is made", made[title])
    for title, covering in pattern.coverings.items():
        yield _once(f"order:covering:{title}", f"{title} is laid", laid[title])
        yield from _before_seams(pattern, covering)
    for use, edge in hemmed_edges(pattern.uses):
        yield _once(f"order:finish:{use}.{edge}", f"the hem of {use}.{edge} is sewn", finished[use, edge])
    for title, finding in pattern.findings.items():
        if finding.kind == "binding":
            yield _once(f"order:binding:{title}", f"the binding {title} is sewn", sewn[title])


def _once(about: str, says: str, times: int) -> Claim:
    words = f"{says} once" if times == 1 else f"{says} in {times} steps: it must be in one"
    return Claim("order", about, f"{times} step(s)", "1 step", times == 1, words)


def _before_seams(pattern: Pattern, covering: Covering) -> Iterator[Claim]:
    edges = {(covering.over.name, catch.over_name) for catch in covering.catches}
    if not edges:
        return
    lays = [index for index, step in enumerate(pattern.steps, 1) if covering.name in step.lays]
    makes: dict[str, list[int]] = defaultdict(list)
    for index, step in enumerate(pattern.steps, 1):
        for title in step.makes:
            makes[title].append(index)
    for title, seam in pattern.seams.items():
        if seam.kind == "topstitched" or not makes[title] or not lays:
            continue
        sides = (*seam.join, *seam.to)
        if any((entry.use.name, entry.name) in edges and not entry.is_line for entry in sides):
            holds = max(lays) <= min(makes[title])
            says = f"{covering.name} is laid before seam {title} catches it"
            if not holds:
                says = f"{covering.name} is laid in step {max(lays)}, after seam {title} should have caught it"
            about = f"order:covering:{covering.name}:{title}"
            yield Claim("order", about, f"step {max(lays)}", f"step {min(makes[title])}", holds, says)
