"""Whether every name in a document leads somewhere, and no name means two things."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from grading.document.contents import Object
from grading.document.expressions import THICKNESS, ExpressionFault, names_in
from grading.document.index import Index, edge_names, index_of, is_flat, read_entry
from grading.document.numbers import GREATEST_LENGTH, number_faults
from grading.document.order import GREATEST_CHOICE
from grading.document.order_names import order_form_faults
from grading.document.pattern import Pattern
from grading.document.pieces import (
    SideEntry,
)
from grading.document.prints import print_faults
from grading.document.requests import SizeRequest
from grading.document.steps import MEASURE
from grading.document.values import Expression
from grading.document.written import written_expressions
from grading.errors import Fault
from grading.exact import NotALength, print_length, read_length


def name_faults(pattern: Pattern) -> Iterator[Fault]:
    """Every name that leads nowhere or means two things, and every number that cannot be."""
    index = index_of(pattern)
    yield from _names_used_twice(pattern)
    for path, value in written_expressions(pattern):
        yield from _unknown_dimensions(path, value, pattern)
    yield from _material_and_stock_faults(pattern)
    yield from _piece_faults(pattern)
    yield from print_faults(index)
    yield from _seam_faults(index)
    yield from _covering_faults(index)
    yield from _content_faults(index)
    yield from _finding_faults(index)
    yield from _size_faults(pattern)
    if pattern.order is not None:
        if pattern.order.choose is not None:
            yield from order_faults(pattern.order.choose, pattern, "order.choose")
        yield from order_form_faults(pattern, pattern.order)
    yield from _step_faults(index)
    yield from number_faults(pattern)


def _unknown(path: str, what: str, name: str, known: Collection[str]) -> Fault:
    near = ", ".join(list(known)[:12]) or "none"
    return Fault(path, f"no {what} is named {name!r}", f"the document names {near}")


def _names_used_twice(pattern: Pattern) -> Iterator[Fault]:
    taken: dict[str, str] = {}
    places = [
        (f"pieces.{name}.uses.{place}" if piece.uses else f"pieces.{name}", use.name)
        for name, piece in pattern.pieces.items()
        for place, use in enumerate(piece.named_uses(name))
    ]
    places += [(f"findings.{name}", name) for name in pattern.findings]
    for path, name in places:
        if name in taken:
            yield Fault(
                path, f"the name {name!r} stands at {taken[name]} already", "give each use and finding its own name"
            )
        taken.setdefault(name, path)
    for name, piece in pattern.pieces.items():
        yield from _repeated(f"pieces.{name}.layers", [layer.title for layer in piece.layers], "layer")
        yield from _repeated(f"pieces.{name}.outline.edges", edge_names(piece.outline), "edge")


def _repeated(path: str, names: Collection[str], what: str) -> Iterator[Fault]:
    seen: set[str] = set()
    for place, name in enumerate(names):
        if name in seen:
            yield Fault(
                f"{path}.{place}", f"a second {what} is named {name!r}", f"name each {what} of a piece its own way"
            )
        seen.add(name)


def _unknown_dimensions(path: str, value: Expression | None, pattern: Pattern) -> Iterator[Fault]:
    if value is None:
        return
    try:
        names = names_in(value)
    except ExpressionFault as broken:
        yield Fault(path, broken.problem, broken.remedy)
        return
    for name in sorted(name for name in names if name not in pattern.dimensions):
        role = name.removeprefix(THICKNESS)
        if role == name:
            yield _unknown(path, "dimension", name, pattern.dimensions)
        elif role not in pattern.materials:
            yield _unknown(path, "material", role, pattern.materials)
        elif pattern.materials[role].thickness is None:
            yield Fault(
                path, f"the material {role!r} does not say how thick it is", f"give materials.{role} a thickness"
            )


def _material_and_stock_faults(pattern: Pattern) -> Iterator[Fault]:
    for name, dimension in pattern.dimensions.items():
        if name.startswith(THICKNESS):
            yield Fault(
                f"dimensions.{name}", f"{name!r} would be the thickness of a material", "choose another beginning"
            )
        if dimension.stock is not None and dimension.stock not in pattern.stock:
            yield _unknown(f"dimensions.{name}.stock", "stock list", dimension.stock, pattern.stock)
    for name, piece in pattern.pieces.items():
        for place, layer in enumerate(piece.layers):
            if layer.material not in pattern.materials:
                yield _unknown(f"pieces.{name}.layers.{place}.material", "material", layer.material, pattern.materials)


def _piece_faults(pattern: Pattern) -> Iterator[Fault]:
    for name, piece in pattern.pieces.items():
        if not piece.layers:
            yield Fault(f"pieces.{name}.layers", "no layer is left", "let one be there whatever is chosen")
        edges = edge_names(piece.outline)
        named = [(f"edges.{edge}", edge) for edge in piece.edges]
        named += [(f"notches.{notch}.edge", mark.edge) for notch, mark in piece.notches.items()]
        named += [(key, edge) for key, edge in (("up", piece.up), ("on_border", piece.on_border)) if edge is not None]
        for path, edge in named:
            if edge not in edges:
                yield _unknown(f"pieces.{name}.{path}", "edge of this piece", edge, edges)


def _entry_faults(path: str, side: Iterable[SideEntry], index: Index) -> Iterator[Fault]:
    for place, written in enumerate(side):
        entry, here = read_entry(written), f"{path}.{place}"
        if entry.is_line:
            if entry.use not in index.uses:
                yield _unknown(here, "use", entry.use, index.uses)
            elif entry.edge not in index.piece_of(entry.use).lines:
                yield _unknown(here, f"line of {entry.use!r}", entry.edge, index.piece_of(entry.use).lines)
            continue
        edges = index.edges_of(entry.use)
        if edges is None:
            yield _unknown(here, "use or zip", entry.use, (*index.uses, *index.zips))
        elif entry.edge not in edges:
            yield _unknown(here, f"edge of {entry.use!r}", entry.edge, edges)


def _seam_faults(index: Index) -> Iterator[Fault]:
    for name, seam in index.pattern.seams.items():
        yield from _entry_faults(f"seams.{name}.join", seam.join, index)
        yield from _entry_faults(f"seams.{name}.to", seam.to, index)
        for number, pair in enumerate(seam.notches):
            for place, reference in enumerate(pair):
                use, _, notch = reference.partition(".")
                here = f"seams.{name}.notches.{number}.{place}"
                if use not in index.uses:
                    yield _unknown(here, "use", use, index.uses)
                elif notch not in index.piece_of(use).notches:
                    yield _unknown(here, f"notch of {use!r}", notch, index.piece_of(use).notches)
                elif not _lies_on_side(index, use, notch, (seam.join, seam.to)[place]):
                    side = ("join", "to")[place]
                    yield Fault(
                        here,
                        f"{reference} is on no edge of the side {side!r}",
                        "name a notch of an edge that is sewn here",
                    )


def _lies_on_side(index: Index, use: str, notch: str, side: Iterable[SideEntry]) -> bool:
    edge = index.piece_of(use).notches[notch].edge
    return any((entry.use, entry.edge) == (use, edge) for entry in map(read_entry, side) if not entry.is_line)


def _covering_faults(index: Index) -> Iterator[Fault]:
    for name, covering in index.pattern.coverings.items():
        path = f"coverings.{name}"
        for key in ("piece", "over"):
            if getattr(covering, key) not in index.uses:
                yield _unknown(f"{path}.{key}", "use", getattr(covering, key), index.uses)
            elif is_flat(index.piece_of(getattr(covering, key)).outline):
                yield _no_box(f"{path}.{key}", getattr(covering, key))
        if covering.piece == covering.over:
            yield Fault(path, f"{covering.piece!r} lies on itself", "name the use that it lies on")
        own, over = index.edges_of(covering.piece) or (), index.edges_of(covering.over) or ()
        if own and over:
            for edge, other in covering.caught.items():
                if edge not in own:
                    yield _unknown(f"{path}.caught.{edge}", f"edge of {covering.piece!r}", edge, own)
                if other not in over:
                    yield _unknown(f"{path}.caught.{edge}", f"edge of {covering.over!r}", other, over)


def _no_box(path: str, use: str) -> Fault:
    return Fault(
        path,
        f"{use!r} is the flat of a ring or a cone, which has no box to measure by",
        "draw it as a path, or write a rule of its measures",
    )


def _content_faults(index: Index) -> Iterator[Fault]:
    for name, content in index.pattern.contents.items():
        if not isinstance(content, Object):
            continue
        if content.in_ is None:
            yield Fault(f"contents.{name}.in", "it is missing", 'name the use that it goes into, or "bag"')
        elif content.in_ == "bag":
            if index.pattern.inside is None:
                yield Fault(
                    f"contents.{name}.in", "the document does not say how much room is inside the bag", "give `inside`"
                )
        elif content.in_ not in index.uses:
            yield _unknown(f"contents.{name}.in", "use", content.in_, index.uses)
        elif is_flat(index.piece_of(content.in_).outline):
            yield _no_box(f"contents.{name}.in", content.in_)


def _finding_faults(index: Index) -> Iterator[Fault]:
    pattern = index.pattern
    for name, finding in pattern.findings.items():
        path, part = f"findings.{name}.{finding.kind}", getattr(finding, finding.kind)
        stock = getattr(part, "stock", None)
        if stock is not None and stock not in pattern.stock:
            yield _unknown(f"{path}.stock", "stock list", stock, pattern.stock)
        material = getattr(part, "material", None)
        if material is not None and material not in pattern.materials:
            yield _unknown(f"{path}.material", "material", material, pattern.materials)
        yield from _entry_faults(f"{path}.along", getattr(part, "along", ()), index)
        sized = {"zip": "length", "webbing": "width", "hardware": "width"}.get(finding.kind)
        if sized is None or stock is None or getattr(part, "shortened", False) or getattr(part, sized) is None:
            continue
        yield from _not_from_stock(f"{path}.{sized}", getattr(part, sized), stock, pattern)


def _not_from_stock(path: str, value: Expression, stock: str, pattern: Pattern) -> Iterator[Fault]:
    dimension = pattern.dimensions.get(value) if isinstance(value, str) else None
    if dimension is None or dimension.stock != stock:
        yield Fault(
            path,
            f"{value!r} is not one dimension from the stock list {stock!r}",
            f'name a dimension with "sizing": "stock", "stock": "{stock}"',
        )


def _size_faults(pattern: Pattern) -> Iterator[Fault]:
    if "base" in pattern.sizes:
        yield Fault("sizes.base", "the base size is always there", "leave it out, or name this size otherwise")
    for place, erratum in enumerate(() if pattern.edition is None else pattern.edition.errata):
        if erratum.size not in {None, "base", *pattern.sizes}:
            known = ("base", *pattern.sizes)
            yield _unknown(f"edition.errata.{place}.size", "size", str(erratum.size), known)
    for name, request in pattern.sizes.items():
        yield from request_faults(request, pattern, f"sizes.{name}")


def request_faults(request: SizeRequest, pattern: Pattern, path: str) -> Iterator[Fault]:
    """Why a request cannot be asked of this pattern (its options apart, which are resolved before)."""
    yield from _unsettable(request.set or (), pattern, f"{path}.set")
    for place, dimension in enumerate(request.keep or ()):
        if dimension not in pattern.dimensions:
            yield _unknown(f"{path}.keep.{place}", "dimension", dimension, pattern.dimensions)
        elif pattern.dimensions[dimension].sizing != "proportion" or pattern.dimensions[dimension].kind == "count":
            yield Fault(f"{path}.keep.{place}", f"{dimension!r} is not sized in proportion", "keep those that are")
    index = index_of(pattern)
    uses = index.uses
    for place, held in enumerate(request.hold or ()):
        if held.in_ not in {None, "bag"} and held.in_ not in uses:
            yield _unknown(f"{path}.hold.{place}.in", "use", str(held.in_), uses)
        elif held.in_ in uses and is_flat(index.piece_of(held.in_).outline):
            yield _no_box(f"{path}.hold.{place}.in", held.in_)
        elif held.in_ in {None, "bag"} and pattern.inside is None:
            yield Fault(f"{path}.hold.{place}", "the pattern does not say how much room is inside", "name a pocket")
    if request.volume is not None and pattern.inside is None:
        yield Fault(f"{path}.volume", "the pattern does not say how much room is inside", "ask by its measures instead")
    if request.within is not None and pattern.outside is None:
        yield Fault(f"{path}.within", "the pattern does not say how large it is outside", "ask by its measures instead")


def order_faults(choose: Mapping[str, tuple[str | float, str | float]], pattern: Pattern, path: str) -> Iterator[Fault]:
    """Why a customer cannot choose these dimensions of this pattern between these lengths."""
    if not 1 <= len(choose) <= GREATEST_CHOICE:
        yield Fault(path, f"{len(choose)} dimensions are to be chosen", f"name 1 to {GREATEST_CHOICE}")
    yield from _unsettable(choose, pattern, path)
    for name, ends in choose.items():
        dimension = pattern.dimensions.get(name)
        if dimension is not None and dimension.sizing == "stock":
            yield Fault(f"{path}.{name}", f"{name!r} is chosen from stock", "name dimensions that may have any value")
        try:
            least, most = (read_length(end, pattern.unit) for end in ends)
        except NotALength as error:
            yield Fault(f"{path}.{name}", str(error), "write the least length and the greatest")
            continue
        if not 0 < least <= most <= GREATEST_LENGTH:
            said = f"{print_length(least)} to {print_length(most)} is no range"
            yield Fault(f"{path}.{name}", said, "give the least first, above 0, and at most 20 m")


def _unsettable(dimensions: Iterable[str], pattern: Pattern, path: str) -> Iterator[Fault]:
    for dimension in dimensions:
        here = f"{path}.{dimension}"
        if dimension not in pattern.dimensions:
            yield _unknown(here, "dimension", dimension, pattern.dimensions)
        elif pattern.dimensions[dimension].kind == "count":
            yield Fault(here, f"{dimension!r} is a count and stays as drafted", "set lengths only")
        elif pattern.dimensions[dimension].sizing == "decided":
            yield Fault(here, f"{dimension!r} is decided by seams and rules", "set the dimensions that it follows from")


def _step_faults(index: Index) -> Iterator[Fault]:
    pattern = index.pattern
    bindings = [name for name, finding in pattern.findings.items() if finding.binding is not None]
    sections: tuple[tuple[str, str, Collection[str]], ...] = (
        ("uses", "use or finding", (*index.uses, *pattern.findings)),
        ("makes", "seam", pattern.seams),
        ("lays", "covering", pattern.coverings),
        ("binds", "binding", bindings),
    )
    for number, step in enumerate(pattern.steps):
        for key, what, known in sections:
            for place, name in enumerate(getattr(step, key)):
                if name not in known:
                    yield _unknown(f"steps.{number}.{key}.{place}", what, name, known)
        yield from _entry_faults(f"steps.{number}.finishes", step.finishes, index)
        for match in MEASURE.finditer(step.text):
            if match["stray"] is not None:
                yield Fault(f"steps.{number}.text", "a brace stands alone", "double it, or write a measure in braces")
