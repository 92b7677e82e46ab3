"""Steps: everything is made in one of them."""

from __future__ import annotations

from collections.abc import Iterator

from grading.check.bag import Bag, Steps, step_name
from grading.check.notes import Note, fault, listed, remark
from grading.document.index import read_entry


def step_notes(bag: Bag) -> Iterator[Note]:
    """Seams, coverings, bindings and hems without a step or with several; pieces and findings that no step uses."""
    if not bag.steps:
        yield from _no_steps(bag)
        return
    for what, key, section, steps in (
        ("seam", "makes", "seams", bag.made),
        ("covering", "lays", "coverings", bag.laid),
        ("binding", "binds", "findings", bag.binds),
    ):
        verb = {"seam": "makes", "covering": "lays", "binding": "sews"}[what]
        for name, numbers in steps.items():
            yield from _once(bag, f"the {what} {name}", f"{section}.{name}", key, verb, name, numbers)
    for edge, numbers in bag.hemmed.items():
        name = ".".join(edge)
        yield from _once(bag, f"the hem of {name}", bag.path(edge), "finishes", "sews", name, numbers)
    yield from _idle_uses(bag)
    yield from _idle_findings(bag)


def _no_steps(bag: Bag) -> Iterator[Note]:
    if bag.model.seams or bag.model.coverings or bag.model.findings:
        yield remark(
            "no_steps",
            "steps",
            "the draft does not say how the bag is made, so that the order of its seams cannot be looked at",
            'write the steps in order, as in {"text": "Close the sides.", "action": "sew", "makes": ["side"]}',
        )


def _once(bag: Bag, title: str, path: str, key: str, verb: str, name: str, numbers: Steps) -> Iterator[Note]:
    if not numbers:
        yield fault("no_step", path, f"no step {verb} {title}", f'name "{name}" under `{key}` in the step that does')
    elif len(numbers) > 1:
        places = listed(step_name(number) for number in numbers)
        yield fault(
            "two_steps",
            f"steps.{numbers[1]}.{key}",
            f"{title} is there {len(numbers)} times, in {places}",
            f'name "{name}" under `{key}` in one step only',
        )


def _touched(bag: Bag) -> set[str]:
    """Uses and findings that some step has to do with."""
    touched: set[str] = set()
    for step in bag.steps:
        touched |= {*step.uses, *step.binds}
        touched |= {entry.use for entry in map(read_entry, step.finishes)}
        for name in step.makes:
            seam = bag.model.seams[name]
            touched |= {entry.use for entry in (*seam.join, *seam.to)}
        for name in step.lays:
            written = bag.model.coverings[name].written
            touched |= {written.piece, written.over}
        for name in step.binds:
            touched |= {entry.use for entry in bag.model.findings[name].along}
    return touched


def _sewn(bag: Bag) -> set[str]:
    """Uses that some seam, covering or binding has to do with, whether a step makes it or not."""
    sewn = {entry.use for seam in bag.model.seams.values() for entry in (*seam.join, *seam.to)}
    for covering in bag.model.coverings.values():
        sewn |= {covering.written.piece, covering.written.over}
    return sewn | {use for use, _ in bag.bound} | {use for use, _ in bag.hemmed}


def _idle_uses(bag: Bag) -> Iterator[Note]:
    known = _touched(bag) | _sewn(bag)
    for use in bag.uses:
        if use not in known:
            yield fault(
                "unused_piece",
                bag.path_of_use(use),
                f"{use} is cut, and then no seam, no covering and no step uses it",
                "sew it in, name it under `uses` in the step that needs it, or take it out",
            )


def _idle_findings(bag: Bag) -> Iterator[Note]:
    touched = _touched(bag)
    for name, finding in bag.model.findings.items():
        if finding.written.binding is not None or name in touched:
            continue
        if bag.is_zip(name) and any(use == name for use, _ in bag.joined):
            continue
        problem = f"no step uses {name}"
        if bag.is_zip(name):
            problem = f"no seam and no step sets the zip {name} in"
        yield fault(
            "unused_finding",
            f"findings.{name}",
            problem,
            f'name "{name}" under `uses` in the step that sews it in, or take it out',
        )
