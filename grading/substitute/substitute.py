"""Changes of a document, one after the other, each read and drawn anew before the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from grading.document import Pattern, read_pattern
from grading.document.options import representative_choices, resolve, with_choices
from grading.document.variants import own_ruler
from grading.errors import DocumentFaults, Fault, RequestFaults
from grading.model import build_model
from grading.substitute.apart import Refused
from grading.substitute.changes import (
    AddChange,
    Change,
    ClothChange,
    GiveChange,
    HideChange,
    MeshChange,
    SplitChange,
    ToileChange,
    read_changes,
)
from grading.substitute.cloth import add_role, change_cloth
from grading.substitute.giving import give_layers
from grading.substitute.hiding import hide_part
from grading.substitute.layers import Json
from grading.substitute.mesh import make_mesh
from grading.substitute.prints import forget_prints
from grading.substitute.splitting import split_piece, split_words
from grading.substitute.toile import make_toile


@dataclass(frozen=True)
class Substituted:
    """The document that changes have given, as plain data, and what each of them has done in words."""

    document: Json
    says: tuple[str, ...]


def substitute(document: Mapping[str, Any], changes: Sequence[Mapping[str, Any]]) -> Substituted:
    """Make changes of a pattern document, in order; the document that is given stays as it is.

    The new one can be read and drawn, whatever options are chosen; its edition is a draft again. Raises DocumentFaults
    for the document given, and RequestFaults for changes that cannot be made, with paths as in `changes.0.at`.
    """
    pattern = read_pattern(document)
    _draw(pattern)
    wanted = read_changes(changes)
    changed: Json = _plain(document)
    says = []
    for number, change in enumerate(wanted):
        path, before = f"changes.{number}", deepcopy(changed)
        try:
            says.append(_make(changed, pattern, change, _plain(changes[number])))
            forget_prints(before, changed)
            pattern = read_pattern(changed)
            _draw(pattern)
        except Refused as refused:
            raise RequestFaults(replace(fault, path=f"{path}.{fault.path}") for fault in refused.faults) from None
        except DocumentFaults as refused:
            raise RequestFaults(
                Fault(path, f"with it {fault.path} would be wrong: {fault.problem}", fault.remedy)
                for fault in refused.faults
            ) from None
    _not_yet_sewn(changed)
    return Substituted(changed, tuple(says))


def _not_yet_sewn(document: Json) -> None:
    """Nothing has been sewn from what changes give, and no printed copy of it needs correcting."""
    edition = document.get("edition")
    if edition is not None:
        edition.pop("errata", None)
        if "state" in edition:
            edition["state"] = "drafted"


def _make(document: Json, pattern: Pattern, change: Change, written: Json) -> str:
    match change:
        case ClothChange():
            return change_cloth(document, change, written)
        case AddChange():
            return add_role(document, change, written)
        case GiveChange():
            return give_layers(document, change)
        case HideChange():
            return hide_part(document, pattern, change)
        case SplitChange():
            return split_words(split_piece(document, pattern, change), change)
        case MeshChange():
            return make_mesh(document, change)
        case ToileChange():
            return make_toile(document, change)


def _draw(pattern: Pattern) -> None:
    """Draw each combination of options. Raises DocumentFaults with the combination in which a fault comes up."""
    for choices in representative_choices(pattern):
        try:
            build_model(resolve(pattern, choices), own_ruler(pattern))
        except DocumentFaults as refused:
            told = with_choices(pattern, choices)
            raise DocumentFaults(replace(fault, problem=fault.problem + told) for fault in refused.faults) from None


def _plain(value: Any) -> Any:
    """Plain data anew, with lists for arrays of any kind."""
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value
