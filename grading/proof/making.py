"""Claims of the making: what becomes of every edge, which corners come together, and in which order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from grading.exact import Enclosure
from grading.grade import Grade
from grading.grade.steps import enclosure_text
from grading.model import Model
from grading.model.seams import Seam, SeamEntry, Side
from grading.proof.claims import Claim
from grading.proof.corners import Corners

_FIELD = {"seam": "makes", "covering": "lays", "binding": "binds", "hem": "finishes"}
HEMS = frozenset({"hemmed once", "hemmed twice"})


def making_claims(grade: Grade) -> Iterator[Claim]:
    """The claims of fates, bindings, chains, order and allowances."""
    yield from fate_claims(grade)
    yield from binding_claims(grade.model)
    yield from chain_claims(grade)
    yield from allowance_claims(grade)
    if grade.model.pattern.steps:
        yield from order_claims(grade.model)


def _sewn_parts(model: Model) -> dict[tuple[str, str], list[SeamEntry]]:
    parts: dict[tuple[str, str], list[SeamEntry]] = {}
    for seam in model.seams.values():
        if seam.written.kind != "topstitched":
            for entry in (*seam.join, *seam.to):
                if not entry.is_line:
                    parts.setdefault((entry.use, entry.edge.name), []).append(entry)
    return parts


def fate_claims(grade: Grade) -> Iterator[Claim]:
    """Each edge of each use is joined once all along, or caught, or has a fate: exactly one of the three."""
    model = grade.model
    sewn = _sewn_parts(model)
    caught = {(c.written.piece, edge) for c in model.coverings.values() for edge in c.written.caught}
    for use in model.draft.index.uses.values():
        piece = model.pieces[use.piece]
        for edge in piece.outline.edges:
            key, fate = (use.name, edge.name), piece.settings(edge.name).fate
            found = ["joined"] if key in sewn else []
            found += ["caught"] if key in caught else []
            found += [fate] if fate is not None else []
            left, holds = ", ".join(found) or "nothing", len(found) == 1
            if holds and key in sewn:
                left, holds = _tiling(grade, sewn[key])
            yield Claim(
                "fate",
                f"{use.name}.{edge.name}",
                f"the edge {use.name}.{edge.name} is finished in exactly one way",
                left,
                "joined all along, or caught, or hemmed, bound, folded, selvage or raw",
                holds,
                f"pieces.{use.piece}.edges.{edge.name}",
                "join it in a seam, catch it under a covering, or give it a fate",
            )


def _tiling(grade: Grade, entries: list[SeamEntry]) -> tuple[str, bool]:
    values, ruler = grade.values, grade.model.ruler
    whole = entries[0].edge.length.enclosure(values)
    parts = sorted(
        ((e.start.enclosure(values), e.end.enclosure(values)) for e in entries), key=lambda part: part[0].low
    )
    ends = [Enclosure(Fraction(0), Fraction(0)), *(part[1] for part in parts)]
    starts = [*(part[0] for part in parts), whole]
    for end, start in zip(ends, starts, strict=True):
        if end != start:
            gap = "open" if end.high < start.low else "sewn twice"
            return f"{gap} from {enclosure_text(ruler, end)} to {enclosure_text(ruler, start)}", False
    return "joined", True


def binding_claims(model: Model) -> Iterator[Claim]:
    """Each edge that is bound is in one binding, and each edge of a binding is bound."""
    bound = Counter((e.use, e.edge.name) for finding in model.findings.values() for e in finding.along)
    wanted = {
        (use.name, edge.name)
        for use in model.draft.index.uses.values()
        for edge in model.pieces[use.piece].outline.edges
        if "bound"
        in {model.pieces[use.piece].settings(edge.name).fate, model.pieces[use.piece].settings(edge.name).finish}
    }
    for use, edge in sorted({*bound, *wanted}):
        count, right = bound[use, edge], int((use, edge) in wanted)
        yield Claim(
            "fate",
            f"{use}.{edge}: binding",
            f"{use}.{edge} is bound as often as it is to be",
            str(count),
            str(right),
            count == right,
            f"pieces.{model.draft.index.uses[use].piece}.edges.{edge}" if use in model.draft.index.uses else "findings",
            "name it in one binding's `along`, and give it the fate or finish `bound`",
        )


def _made_in_order(model: Model) -> list[Seam]:
    if not model.pattern.steps:
        return list(model.seams.values())
    return [model.seams[name] for step in model.pattern.steps for name in step.makes]


def chain_claims(grade: Grade) -> Iterator[Claim]:
    """Consecutive entries of each side are connected by what is sewn before."""
    model, corners = grade.model, Corners(grade.model, grade.values)
    if not model.pattern.steps:
        for seam in model.seams.values():
            corners.sew(seam)
    seen: set[str] = set()
    for seam in _made_in_order(model):
        if seam.name not in seen:
            for key, side in (("join", seam.join), ("to", seam.to)):
                yield _chain(corners, seam, key, side)
        seen.add(seam.name)
        corners.sew(seam)


def _chain(corners: Corners, seam: Seam, key: str, side: Side) -> Claim:
    pairs = list(pairwise(side))
    if seam.written.closed:
        pairs.append((side[-1], side[0]))
    loose = next(((one, two) for one, two in pairs if not corners.meet(one, two)), None)
    return Claim(
        "chain",
        f"{seam.name}: {key}",
        f"the edges of {seam.name} ({key}) run on from one to the next"
        + (", all round" if seam.written.closed else ""),
        "connected" if loose is None else f"{loose[0].reference} does not run on to {loose[1].reference}",
        "connected",
        loose is None,
        f"seams.{seam.name}.{key}",
        "turn an edge round (forward, backward), change their order, or make the seam between them in an earlier step",
    )


def allowance_claims(grade: Grade) -> Iterator[Claim]:
    """Edges joined in a plain seam have equal allowances."""
    model = grade.model
    for seam in model.seams.values():
        if seam.written.kind != "plain":
            continue
        found = {
            model.parts.piece_of(entry.use).allowances[entry.edge.name]: entry.reference
            for entry in (*seam.join, *seam.to)
            if not entry.is_line and entry.use in model.draft.index.uses
        }
        shown = ", ".join(f"{reference} {model.ruler.text(value)}" for value, reference in found.items())
        yield Claim(
            "allowance",
            f"seam:{seam.name}",
            f"all edges of {seam.name} have the same allowance",
            shown or "none",
            "equal",
            len(found) <= 1,
            f"seams.{seam.name}",
            "give these edges one allowance, or make the seam of another kind",
        )


def order_claims(model: Model) -> Iterator[Claim]:
    """Each seam, covering, hem and binding is made once, and coverings before what catches them."""
    steps = model.pattern.steps
    made = Counter(name for step in steps for name in step.makes)
    laid = Counter(name for step in steps for name in step.lays)
    sewn = Counter(name for step in steps for name in step.binds)
    finished = Counter(reference for step in steps for reference in step.finishes)
    bindings = [name for name, finding in model.findings.items() if finding.written.binding is not None]
    for what, names, counter in (
        ("seam", list(model.seams), made),
        ("covering", list(model.coverings), laid),
        ("binding", bindings, sewn),
        ("hem", _hems(model), finished),
    ):
        for name in names:
            yield Claim(
                "order",
                f"{what} {name}",
                f"the {what} {name} is made in one step",
                f"{counter[name]} times",
                "once",
                counter[name] == 1,
                "steps",
                f"name it under {_FIELD[what]!r} in exactly one step",
            )
    yield from _covering_order(model)


def _hems(model: Model) -> list[str]:
    return [
        f"{use.name}.{edge.name}"
        for use in model.draft.index.uses.values()
        for edge in model.pieces[use.piece].outline.edges
        if model.pieces[use.piece].settings(edge.name).fate in HEMS
    ]


def _covering_order(model: Model) -> Iterator[Claim]:
    steps = model.pattern.steps
    laid = {name: number for number, step in reversed(list(enumerate(steps, start=1))) for name in step.lays}
    made = {name: number for number, step in reversed(list(enumerate(steps, start=1))) for name in step.makes}
    joined: dict[tuple[str, str], dict[str, None]] = {}
    for seam in model.seams.values():
        for entry in (*seam.join, *seam.to):
            if not entry.is_line:
                joined.setdefault((entry.use, entry.edge.name), {})[seam.name] = None
    order = {name: place for place, name in enumerate(model.seams)}
    for covering in model.coverings.values():
        over, edges = covering.written.over, set(covering.written.caught.values())
        catching = {name for edge in edges for name in joined.get((over, edge), ())}
        for seam_name in sorted(catching, key=order.__getitem__):
            if covering.name not in laid or seam_name not in made:
                continue
            before, after = laid[covering.name], made[seam_name]
            yield Claim(
                "order",
                f"{covering.name} before {seam_name}",
                f"{covering.name} is laid before the seam {seam_name} catches it",
                f"step {before}",
                f"before step {after}",
                before <= after,
                "steps",
                "lay it in an earlier step",
            )
