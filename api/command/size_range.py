"""`sizewright range`: whether every size between given ends can be made."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.arguments import OTHERS
from api.command.files import read_file, to_json
from api.command.request import value
from api.command.tables import printable
from grading.errors import Fault, RequestFaults

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterable, Iterator, Mapping

MOST_OBSTACLES = 8
MOST_SIZES = 12


def run(options: Namespace) -> int:
    """Prints the verdict in words; 1 if it is not proven that every size can be made."""
    document = grading.read_document(read_file(options.pattern))
    prepared = grading.prepare(document, grading.batch_variant(document, dict(options.option or ())))
    choose = None if options.choose is None else dict(_ends(options.choose))
    others: Any = None if options.others is None else OTHERS[options.others]
    found = grading.range_document(grading.size_range(prepared, choose, others), prepared)
    print(to_json(found) if options.json else "\n".join(_report(found)))
    return 0 if found["proven"] else 1


def _ends(settings: Iterable[tuple[str, str]]) -> Iterator[tuple[str, tuple[str | float, str | float]]]:
    seen = set()
    for name, text in settings:
        least, dots, most = (part.strip() for part in text.partition(".."))
        if not dots:
            raise RequestFaults([Fault(f"choose.{name}", f"{text!r} is no range", "write it as in 300mm..420mm")])
        if name in seen:
            raise RequestFaults([Fault(f"choose.{name}", "it is given more than once", "keep one of them")])
        seen.add(name)
        yield name, (value(least), value(most))


def _report(found: Mapping[str, Any]) -> Iterator[str]:
    others = f"the other dimensions {'stay at base' if found['others'] == 'at base' else 'in proportion'}"
    if found["proven"]:
        yield f"Every size can be made: {_box(found['box'])}; {others}."
        yield f"Each of {found['rules']} rules has room to spare for the ruler of {found['ruler']}."
        yield found["says"][-1]
        return
    yield f"It is not proven that every size can be made: {_box(found['box'])}; {others}."
    yield from _obstacles(found["obstacles"])
    failing = found["counterexample"]
    if failing is not None:
        yield f"This one cannot be made: {_size(failing['size'])}."
        yield f"  {printable(failing['reason'])}"
    else:
        yield "No size was found that fails; there may be none."
    if found["largest"] is not None:
        yield f"Proven is: {_box(found['largest'])}."
    yield f"{len(found['sizes'])} sizes between these ends were tried one by one and can be made:"
    yield from (f"  {_size(size)}" for size in found["sizes"][:MOST_SIZES])
    if len(found["sizes"]) > MOST_SIZES:
        yield f"  and {len(found['sizes']) - MOST_SIZES} more (--json lists all)"


def _obstacles(obstacles: list[Mapping[str, Any]]) -> Iterator[str]:
    for obstacle in obstacles[:MOST_OBSTACLES]:
        room = f": {obstacle['room']} of room, {obstacle['needed']} needed" if obstacle["room"] is not None else ""
        yield f"  {printable(obstacle['says'])}{room}"
        if obstacle["because"]:
            yield f"    because: {printable(obstacle['because'])}"
    if len(obstacles) > MOST_OBSTACLES:
        yield f"  and {len(obstacles) - MOST_OBSTACLES} more"


def _box(box: Mapping[str, list[str]]) -> str:
    return ", ".join(f"{name} {least} to {most}" for name, (least, most) in box.items())


def _size(size: Mapping[str, str]) -> str:
    return ", ".join(f"{name} {length}" for name, length in size.items())
