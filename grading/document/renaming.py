"""Other names for the parts of a document, sound or not, with every reference to them."""

from __future__ import annotations

from collections.abc import Callable, Collection
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from pydantic import TypeAdapter, ValidationError

from grading.document.expressions import THICKNESS
from grading.document.places import (
    WHENS,
    named,
    places,
    rekey,
    rewrite,
    rewrite_expressions,
    rewrite_measures,
    rewrite_meetings,
    rewrite_sides,
)
from grading.document.values import Name
from grading.errors import Fault, RequestFaults

NAME: TypeAdapter[str] = TypeAdapter(Name)


def renamed(document: Any, kind: str, old: str, new: str) -> Any:
    """The document with a part under another name, all that names it with it; the one given stays as it is.

    `kind` is one of KINDS; parts of pieces and choices are named with what they belong to, `panel.top`, and `new` is
    their own name alone. Raises RequestFaults where there is no such part, or the name cannot be taken.
    """
    owner, _, own = old.rpartition(".")
    renaming = _Renaming(deepcopy(document), owner, own, new)
    if kind not in KINDS:
        raise _refused("kind", f"{kind!r} is nothing that has a name", f"give one of {', '.join(KINDS)}")
    work, known = KINDS[kind]
    taken = known(renaming)
    if own not in taken:
        near = ", ".join(list(taken)[:12]) or "none"
        raise _refused("from", f"no {kind} is named {old!r}", f"there are {near}")
    if new == own:
        raise _refused("to", f"it is named {new!r} already", "give another name")
    _check(renaming, kind, taken)
    meant = [(kind, new) if each == (kind, own) else each for each in _meant(document)]
    work(renaming)
    if _meant(renaming.document) != meant:
        problem = f"measures in the steps that begin with {own!r} or {new!r} would be of something else"
        raise _refused("to", problem, "choose another name")
    return renaming.document


@dataclass(frozen=True)
class _Renaming:
    document: Any
    owner: str
    old: str
    new: str

    def name(self, name: str) -> str:
        return self.new if name == self.old else name

    @property
    def uses(self) -> dict[str, str]:
        """The piece of each use."""
        return {use: piece for piece, part in named(self.document, "pieces").items() for use in _uses_of(piece, part)}

    def uses_of(self, piece: str) -> set[str]:
        return {use for use, of in self.uses.items() if of == piece}

    @property
    def piece(self) -> dict[str, Any]:
        return named(self.document, "pieces", self.owner)

    def lists(self, *paths: str) -> None:
        for path in paths:
            rewrite(self.document, path, self.name)

    def keys(self, *paths: str) -> None:
        for path in paths:
            rekey(self.document, path, self.old, self.new)


def _lists_uses(document: Any, piece: str) -> bool:
    uses = named(document, "pieces", piece).get("uses")
    return isinstance(uses, list) and bool(uses)


def _uses_of(piece: str, part: Any) -> list[str]:
    uses = part.get("uses") if isinstance(part, dict) else None
    listed = uses if isinstance(uses, list) and uses else [piece]
    return [str(use.get("name") if isinstance(use, dict) else use) for use in listed]


def _check(renaming: _Renaming, kind: str, taken: Collection[str]) -> None:
    """Refuse a name that is none, that another part has, or that would give a measure another meaning."""
    new = renaming.new
    try:
        NAME.validate_python(new)
    except ValidationError as error:
        told = error.errors()[0].get("ctx", {})
        problem = str(told.get("problem", "it is no name"))
        raise _refused("to", problem, str(told.get("remedy", "give a name"))) from None
    if kind == "dimension" and new.startswith(THICKNESS):
        raise _refused("to", f"{new!r} is the thickness of a material", "choose another name")
    if kind == "size" and new == "base":
        raise _refused("to", "the base size is always there", "choose another name")
    if new in taken:
        raise _refused("to", f"the name {new!r} is taken by another {kind}", "choose another name")
    both = {"use": {"findings"}, "finding": {"uses"}}
    if kind == "piece" and not _lists_uses(renaming.document, renaming.old):
        both["piece"] = {"uses", "findings"}
    others = {"uses": renaming.uses, "findings": named(renaming.document, "findings")}
    for section in sorted(both.get(kind, ())):
        if new in others[section]:
            raise _refused("to", f"the name {new!r} is taken among the {section}", "choose another name")


def _meant(document: Any) -> list[tuple[str, str] | None]:
    """What the measures in the texts of steps are of, in their order: a kind and a name, or nothing."""
    uses = _Renaming(document, "", "", "").uses
    found: list[tuple[str, str] | None] = []

    def note(keys: list[str]) -> list[str]:
        name, is_piece = keys[0], keys[0] in uses or keys[0] in named(document, "pieces")
        match keys:
            case [_] if name in named(document, "dimensions"):
                found.append(("dimension", name))
            case [_, _] | [_, _, _] if is_piece:
                found.append(("piece", uses.get(name, name)))
            case [_, "length"] if name in named(document, "seams"):
                found.append(("seam", name))
            case [_, "clear", _] if name in named(document, "coverings"):
                found.append(("covering", name))
            case [_, "length" | "width"] if name in named(document, "findings"):
                found.append(("finding", name))
            case _:
                found.append(None)
        return keys

    rewrite_measures(deepcopy(document), note)
    return found


def _refused(path: str, problem: str, remedy: str) -> RequestFaults:
    return RequestFaults([Fault(path, problem, remedy)])


def _dimension(this: _Renaming) -> None:
    this.keys("dimensions", "sizes.*.set", "order.choose")
    this.lists("sizes.*.keep.*")
    rewrite_expressions(this.document, this.old, this.new)
    rewrite_measures(this.document, lambda keys: [this.name(keys[0])] if len(keys) == 1 else keys)


def _stock(this: _Renaming) -> None:
    this.keys("stock")
    this.lists("dimensions.*.stock", *(f"findings.*.{kind}.stock" for kind in ("zip", "webbing", "hardware")))


def _material(this: _Renaming) -> None:
    for piece in parts(this.document, "pieces.*"):
        unnamed = [layer for layer in parts(piece, "layers.*") if "name" not in layer]
        if any(layer.get("material") == this.old for layer in unnamed):
            rewrite(piece, "motif.layers.*", this.name)
    this.keys("materials", "order.cloths")
    this.lists("pieces.*.layers.*.material", "findings.*.binding.material")
    rewrite_expressions(this.document, f"{THICKNESS}{this.old}", f"{THICKNESS}{this.new}")


def _seam(this: _Renaming) -> None:
    this.keys("seams")
    this.lists("steps.*.makes.*")
    others = this.uses.keys() | named(this.document, "pieces").keys()
    _measured(this, lambda keys: keys[1:] == ["length"] and this.old not in others)


def _covering(this: _Renaming) -> None:
    this.keys("coverings")
    this.lists("steps.*.lays.*")
    others = this.uses.keys() | named(this.document, "pieces").keys()
    _measured(this, lambda keys: keys[1:2] == ["clear"] and this.old not in others)


def _finding(this: _Renaming) -> None:
    others = this.uses.keys() | named(this.document, "pieces").keys()
    seams = named(this.document, "seams")
    this.keys("findings")
    if this.old not in this.uses:
        this.lists("steps.*.uses.*")
        rewrite_sides(this.document, lambda use, edge, _: (this.name(use), edge))
    this.lists("steps.*.binds.*")
    _measured(
        this,
        lambda keys: (
            this.old not in others and (keys[1:] == ["width"] or (keys[1:] == ["length"] and this.old not in seams))
        ),
    )


def _measured(this: _Renaming, applies: Callable[[list[str]], bool]) -> None:
    """Change the first key of every measure that begins with the old name, where that means this part."""
    rewrite_measures(this.document, lambda keys: [this.name(keys[0]), *keys[1:]] if applies(keys) else keys)


def _piece(this: _Renaming) -> None:
    if not _lists_uses(this.document, this.old):
        _named_use(this)
    is_use = this.uses.get(this.old, this.old) != this.old or _lists_uses(this.document, this.old)
    if this.old not in this.uses or not is_use:
        _measured(this, lambda keys: len(keys) in (2, 3))
    this.keys("pieces")


def _use(this: _Renaming) -> None:
    piece = this.uses[this.old]
    if _lists_uses(this.document, piece):
        this.lists(f"pieces.{piece}.uses.*", f"pieces.{piece}.uses.*.name")
    else:
        named(this.document, "pieces", piece)["uses"] = [this.new]
    _named_use(this)
    if piece != this.old:
        _measured(this, lambda keys: len(keys) in (2, 3))


def _named_use(this: _Renaming) -> None:
    rewrite_sides(this.document, lambda use, edge, _: (this.name(use), edge))
    rewrite_meetings(this.document, lambda use, notch: (this.name(use), notch))
    this.lists("coverings.*.piece", "coverings.*.over", "contents.*.in", "sizes.*.hold.*.in", "steps.*.uses.*")


def _edge(this: _Renaming) -> None:
    here, uses = f"pieces.{this.owner}", this.uses_of(this.owner)
    measured = {*uses, *({this.owner} - this.uses.keys())}
    this.keys(f"{here}.edges")
    this.lists(f"{here}.outline.edges.*.name", f"{here}.up", f"{here}.on_border", f"{here}.notches.*.edge")

    def of(use: str, edge: str, is_line: bool) -> tuple[str, str]:
        return use, this.name(edge) if use in uses and not is_line else edge

    rewrite_sides(this.document, of)
    for covering in parts(this.document, "coverings.*"):
        if covering.get("piece") in uses:
            rekey(covering, "caught", this.old, this.new)
        if covering.get("over") in uses:
            rewrite(covering, "caught.*", this.name)
    rewrite_measures(
        this.document,
        lambda keys: [keys[0], this.name(keys[1]), keys[2]] if len(keys) == 3 and keys[0] in measured else keys,
    )


def _notch(this: _Renaming) -> None:
    uses = this.uses_of(this.owner)
    this.keys(f"pieces.{this.owner}.notches")
    rewrite_meetings(this.document, lambda use, notch: (use, this.name(notch) if use in uses else notch))


def _line(this: _Renaming) -> None:
    uses = this.uses_of(this.owner)
    this.keys(f"pieces.{this.owner}.lines")
    rewrite_sides(this.document, lambda use, line, is_line: (use, this.name(line) if use in uses and is_line else line))


def _layer(this: _Renaming) -> None:
    for layer in parts(this.piece, "layers.*"):
        if "name" not in layer and layer.get("material") == this.old:
            layer["name"] = this.new
    this.lists(f"pieces.{this.owner}.layers.*.name", f"pieces.{this.owner}.motif.layers.*")


def _option(this: _Renaming) -> None:
    this.keys("options", "sizes.*.options", *WHENS)
    this.lists("order.options.*")


def _choice(this: _Renaming) -> None:
    option = this.owner
    this.lists(f"options.{option}.choices.*", f"options.{option}.default", f"sizes.*.options.{option}")
    this.lists(*(f"{when}.{option}{more}" for when in WHENS for more in ("", ".*")))


def _size(this: _Renaming) -> None:
    this.keys("sizes", "order.price.minutes.*.sizes")
    this.lists("order.sizes.*", "edition.errata.*.size")


def parts(document: Any, path: str) -> list[dict[str, Any]]:
    """The objects at a path."""
    return [holder[key] for holder, key in places(document, path) if isinstance(holder[key], dict)]


def _keyed(*path: str) -> tuple[Callable[[_Renaming], None], Callable[[_Renaming], Collection[str]]]:
    return lambda this: this.keys(".".join(path)), lambda this: named(this.document, *path)


def _known(section: str) -> Callable[[_Renaming], Collection[str]]:
    return lambda this: named(this.document, section)


def _texts(values: Any) -> list[str]:
    return [value for value in values if isinstance(value, str)] if isinstance(values, list) else []


def _path_edges(this: _Renaming) -> list[str]:
    """Only the edges of a path have names of their own."""
    return _texts([edge.get("name") for edge in parts(this.piece, "outline.edges.*")])


def _layers(this: _Renaming) -> list[str]:
    return _texts([layer.get("name", layer.get("material")) for layer in parts(this.piece, "layers.*")])


KINDS: dict[str, tuple[Callable[[_Renaming], None], Callable[[_Renaming], Collection[str]]]] = {
    "dimension": (_dimension, _known("dimensions")),
    "stock": (_stock, _known("stock")),
    "material": (_material, _known("materials")),
    "piece": (_piece, _known("pieces")),
    "use": (_use, lambda this: this.uses),
    "edge": (_edge, _path_edges),
    "notch": (_notch, lambda this: named(this.piece, "notches")),
    "line": (_line, lambda this: named(this.piece, "lines")),
    "layer": (_layer, _layers),
    "seam": (_seam, _known("seams")),
    "covering": (_covering, _known("coverings")),
    "content": _keyed("contents"),
    "finding": (_finding, _known("findings")),
    "rule": _keyed("rules"),
    "option": (_option, _known("options")),
    "choice": (_choice, lambda this: _texts(named(this.document, "options", this.owner).get("choices"))),
    "size": (_size, _known("sizes")),
    "activity": _keyed("order", "price", "minutes"),
}
"""What can be renamed: how, and the names that there are."""
