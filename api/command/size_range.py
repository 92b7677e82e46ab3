"""`sizewright range`: whether every size between given ends can be made."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import grading
from api.command.arguments import OTHERS
from api.command.files import read_file
from api.command.tables import printable
from grading.errors import Fault, RequestFaults

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator, Mapping

    from grading.exact import Ruler
    from grading.ranges import Box, Range

MOST_OBSTACLES = 8


def run(options: Namespace) -> int:
    """Prints the verdict in words; 1 if it is not proven that every size can be made."""
    document = grading.read_document(read_file(options.pattern))
    prepared = grading.prepare(document, grading.batch_variant(document))
    found = grading.size_range(prepared, dict(_ends(options.choose)), OTHERS[options.others])
    print("\n".join(_report(found, prepared.model.ruler)))
    return 0 if found.verdict.proven else 1


def _ends(settings: list[tuple[str, str]]) -> Iterator[tuple[str, tuple[str, str]]]:
    for name, text in settings:
        least, dots, most = text.partition("..")
        if not dots:
            raise RequestFaults([Fault(f"choose.{name}", f"{text!r} is no range", "write it as in 300mm..420mm")])
        yield name, (least, most)


def _report(found: Range, ruler: Ruler) -> Iterator[str]:
    if found.verdict.proven:
        yield f"Every size can be made: {_box(found.asked, ruler)}."
        yield f"Each of {found.verdict.rules} rules has room to spare for the ruler."
        return
    yield f"It is not proven that every size can be made: {_box(found.asked, ruler)}."
    for obstacle in found.verdict.obstacles[:MOST_OBSTACLES]:
        room = ""
        if obstacle.room is not None and obstacle.needed is not None:
            room = f": {_text(ruler, obstacle.room)} of room, {_text(ruler, obstacle.needed)} needed"
        yield f"  {printable(obstacle.says)}{room}"
    if found.counterexample is not None:
        yield f"This one cannot be made: {_size(found.counterexample.size, ruler)}."
        yield f"  {printable(found.counterexample.reason)}"
    if found.proven is not None:
        yield f"Proven is: {_box(found.proven, ruler)}."
    yield f"{len(found.listed)} sizes between these ends were tried one by one and can be made."


def _box(box: Box, ruler: Ruler) -> str:
    return ", ".join(
        f"{name} {_text(ruler, least)} to {_text(ruler, most)}" for name, (least, most) in box.sides.items()
    )


def _size(size: Mapping[str, Fraction], ruler: Ruler) -> str:
    return ", ".join(f"{name} {_text(ruler, value)}" for name, value in size.items())


def _text(ruler: Ruler, value: Fraction) -> str:
    """A length to a hundredth of a millimetre."""
    return ruler.text(Fraction(round(value * 100), 100))
