"""The order of the steps: what must be done before what."""

from __future__ import annotations

from collections.abc import Iterator

from grading.check.bag import Bag, EdgeOfUse, edge_entries, first, step_name
from grading.check.notes import Note, fault, listed, remark
from grading.model.coverings import Covering
from grading.model.seams import Seam

KIND = "out_of_order"


def order_notes(bag: Bag) -> Iterator[Note]:
    """Coverings laid too late, edges finished when they are out of reach, cloth treated after it is sewn."""
    for covering in bag.model.coverings.values():
        yield from _laid_before_caught(bag, covering)
        yield from _finished_before_sewn_in(bag, covering)
        yield from _joined_before_sewn_in(bag, covering)
    for seam in bag.model.seams.values():
        if seam.written.kind == "topstitched":
            yield from _ready_for_topstitching(bag, seam)
    yield from _bound_after_its_seam(bag)
    yield from _treated_before_sewn(bag)


def _late(number: int, what: str, before: str, other: int, key: str) -> Note:
    return fault(
        KIND,
        f"steps.{number}.{key}",
        f"{what} in {step_name(number)}, but {before} already in {step_name(other)}",
        f"move it before {step_name(other)}",
    )


def _sewn_in(bag: Bag, edge: EdgeOfUse) -> list[tuple[int, str]]:
    """The steps in which an edge of the piece below is sewn, hemmed or bound, and what then happens."""
    found = []
    for seam, _ in bag.joined.get(edge, []):
        number = first(bag.made[seam.name])
        if number is not None:
            found.append((number, f"the seam {seam.name} is sewn"))
    if not found:
        hem = first(bag.hemmed.get(edge, ()))
        found += [] if hem is None else [(hem, f"{'.'.join(edge)} is hemmed")]
        for name, _ in bag.bound.get(edge, []):
            number = first(bag.binds[name])
            found += [] if number is None else [(number, f"{'.'.join(edge)} is bound")]
    return found


def _laid_before_caught(bag: Bag, covering: Covering) -> Iterator[Note]:
    laid = first(bag.laid[covering.name])
    if laid is None:
        return
    sewn = {entry for own in covering.written.caught for entry in _sewn_in(bag, bag.held_by(covering, own))}
    early = sorted(each for each in sewn if each[0] < laid)
    if early:
        what = f"{covering.written.piece} is laid on {covering.written.over} ({covering.name})"
        yield _late(laid, what, f"{early[0][1]}, which should catch it,", early[0][0], "lays")


def _sewn_in_at(bag: Bag, covering: Covering) -> tuple[int, str] | None:
    sewn = [each for own in covering.written.caught for each in _sewn_in(bag, bag.held_by(covering, own))]
    return min(sewn, default=None)


def _finished_before_sewn_in(bag: Bag, covering: Covering) -> Iterator[Note]:
    """Hems and bindings of a covering's own edges come before it is laid, at the latest before it is sewn in."""
    use, laid, sewn = covering.written.piece, first(bag.laid[covering.name]), _sewn_in_at(bag, covering)
    edges = [(use, edge.name) for edge in bag.uses[use].outline.edges]
    own = {edge: first(bag.hemmed[edge]) for edge in edges if edge in bag.hemmed}
    for edge in edges:
        if edge in bag.bound and bag.settings(edge).fate == "bound":
            own[edge] = first(bag.binds[bag.bound[edge][0][0]])
    for edge, number in own.items():
        name = ".".join(edge)
        if number is None:
            continue
        key = "finishes" if edge in bag.hemmed else "binds"
        if sewn is not None and sewn[0] < number:
            yield _late(number, f"{name} is finished", f"{sewn[1]}, and {use} is caught in it,", sewn[0], key)
        elif laid is not None and laid < number:
            yield remark(
                "finished_late",
                f"steps.{number}.{key}",
                f"{name} is finished in {step_name(number)}, after {use} is laid on {covering.written.over} in "
                f"{step_name(laid)}",
                f"finish it before {step_name(laid)}, while it lies flat",
            )


def _joined_before_sewn_in(bag: Bag, covering: Covering) -> Iterator[Note]:
    use, sewn = covering.written.piece, _sewn_in_at(bag, covering)
    if sewn is None:
        return
    for edge in ((use, each.name) for each in bag.uses[use].outline.edges):
        for seam, _ in bag.joined.get(edge, []):
            number = first(bag.made[seam.name])
            if number is not None and sewn[0] < number and seam.written.kind == "plain":
                yield _late(
                    number,
                    f"the seam {seam.name} joins {'.'.join(edge)}",
                    f"{sewn[1]}, and {use} is caught in it,",
                    sewn[0],
                    "makes",
                )


def _ready_for_topstitching(bag: Bag, seam: Seam) -> Iterator[Note]:
    """What is stitched down has been hemmed, and laid where it is stitched."""
    number = first(bag.made[seam.name])
    if number is None:
        return
    for entry in edge_entries(seam):
        hem = first(bag.hemmed.get((entry.use, entry.edge.name), ()))
        if hem is not None and hem > number:
            yield _late(hem, f"{entry.reference} is hemmed", f"{seam.name} stitches it down", number, "finishes")
    uses = {entry.use for entry in (*seam.join, *seam.to)}
    for covering in bag.model.coverings.values():
        laid = first(bag.laid[covering.name])
        if {covering.written.piece, covering.written.over} <= uses and laid is not None and laid > number:
            what = f"{covering.written.piece} is laid on {covering.written.over} ({covering.name})"
            yield _late(laid, what, f"{seam.name} stitches it down", number, "lays")


def _bound_after_its_seam(bag: Bag) -> Iterator[Note]:
    told = set()
    for edge, along in bag.bound.items():
        if bag.is_zip(edge[0]) or bag.settings(edge).finish != "bound":
            continue
        for seam, _ in bag.joined.get(edge, []):
            number, sewn = first(bag.binds[along[0][0]]), first(bag.made[seam.name])
            if number is not None and sewn is not None and number < sewn and (along[0][0], seam.name) not in told:
                told.add((along[0][0], seam.name))
                yield remark(
                    "bound_early",
                    f"steps.{number}.binds",
                    f"{along[0][0]} is sewn on in {step_name(number)}, the seam {seam.name} only in {step_name(sewn)}",
                    "bind after the seam if the binding wraps both allowances",
                )


def _treated_before_sewn(bag: Bag) -> Iterator[Note]:
    """Fusing, then quilting, then trimming, and only then laying and sewing."""
    works, treated = _first_works(bag), dict[tuple[str, str], list[int]]()
    for number, step in enumerate(bag.steps):
        for use in step.uses:
            treated.setdefault((use, step.action), []).append(number)
    for use in bag.uses:
        quilted, trimmed, fused = (first(treated.get((use, action), [])) for action in ("quilt", "trim", "fuse"))
        if quilted is not None and trimmed is not None and trimmed < quilted:
            yield _late(quilted, f"{use} is quilted", f"{use} is trimmed", trimmed, "uses")
        sewn = works.get(use)
        for done, what in ((fused, "fused"), (quilted, "quilted"), (trimmed, "trimmed")):
            if done is not None and sewn is not None and sewn[0] < done:
                yield _late(done, f"{use} is {what}", sewn[1], sewn[0], "uses")
        yield from _untreated(bag, use, trimmed, fused)


def _first_works(bag: Bag) -> dict[str, tuple[int, str]]:
    """The first step that sews each use or lays something on it, and what that is."""
    works: dict[str, tuple[int, str]] = {}

    def note(use: str, work: tuple[int, str]) -> None:
        works[use] = min(work, works.get(use, work))

    for name, numbers in bag.made.items():
        for number in numbers:
            for entry in (*bag.model.seams[name].join, *bag.model.seams[name].to):
                note(entry.use, (number, f"the seam {name} is sewn"))
    for name, numbers in bag.laid.items():
        written = bag.model.coverings[name].written
        for number in numbers:
            for use in (written.piece, written.over):
                note(use, (number, f"{written.piece} is laid on {written.over}"))
    return works


def _untreated(bag: Bag, use: str, trimmed: int | None, fused: int | None) -> Iterator[Note]:
    piece = bag.uses[use]
    if not bag.steps or use != piece.uses[0].name:
        return
    larger = [layer.name for layer in piece.layers if layer.oversize or any(layer.shrinks)]
    if larger and trimmed is None:
        yield remark(
            "never_trimmed",
            f"pieces.{piece.name}.layers",
            f"{listed(larger)} of {piece.name} is cut larger all round, and no step trims {use}",
            f'add a step with the action "trim" that uses {use}',
        )
    glued = [layer.name for layer in piece.layers if bag.model.pattern.materials[layer.material].kind == "interfacing"]
    if glued and fused is None:
        yield remark(
            "never_fused",
            f"pieces.{piece.name}.layers",
            f"{piece.name} has {listed(glued)}, and no step fuses it to {use}",
            f'add a step with the action "fuse" that uses {use}, or say in a step how it is held',
        )
