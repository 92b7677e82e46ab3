"""Changes of a pattern document as they are asked: what each is of, and with what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

from pydantic import Field, ValidationError

from grading.document.faults import faults_of
from grading.document.frozen import TooDeep, frozen
from grading.document.materials import Material
from grading.document.values import Expression, Length, Name, Part
from grading.errors import Fault, RequestFaults

MOST_CHANGES = 50
"""Changes that are made at once."""


class ClothChange(Part):
    """Another cloth for a role."""

    cloth: Name = Field(description="The role.", examples=["main"])
    with_: Material = Field(alias="with", description="The cloth that plays it from now on.")


class AddChange(Part):
    """A role more, for pieces to be given to."""

    add: Name = Field(description="The new role.", examples=["plain"])
    material: Material = Field(description="The cloth that plays it.")


class GivenLayer(Part):
    """A layer of a piece."""

    piece: Name = Field(description="The piece.", examples=["facing"])
    layer: Name | None = Field(None, description="Its layer; the outer one if left out.", examples=["main"])


class GiveChange(Part):
    """Layers that are cut from another material."""

    give: tuple[GivenLayer, ...] = Field(
        min_length=1, max_length=200, description="The layers.", examples=[[{"piece": "facing"}]]
    )
    material: Name = Field(description="The role that they are cut from.", examples=["plain"])


class HideChange(Part):
    """The part of a piece that a covering hides is split off and cut from a plainer cloth."""

    hide: Name = Field(description="The covering that hides it.", examples=["pocket_on_front"])
    material: Name = Field(description="The role of the plainer cloth.", examples=["plain"])
    margin: Length = Field("20 mm", description="How far under the covering the seam lies.", examples=["20 mm"])


class SplitChange(Part):
    """A rectangle in two, joined by a seam."""

    split: Name = Field(description="The piece.", examples=["base"])
    at: Expression = Field(description="How far from the side that `from` names.", examples=["depth/2"])
    from_: Literal["top", "bottom", "left", "right"] = Field(
        "top", alias="from", description="The side that the place is measured from.", examples=["left"]
    )
    names: tuple[Name, Name] | None = Field(
        None,
        description="The names of the parts, the upper or left one first.",
        examples=[["base_front", "base_back"]],
    )
    allowance: Expression | None = Field(
        None, description="The allowance of the new seam; the document's if left out.", examples=["15 mm"]
    )


class MeshBinding(Part):
    """The binding of a mesh piece's raw edges."""

    width: Expression = Field("20 mm", description="The width of the strip as cut or bought.", examples=["20 mm"])
    join: Expression = Field("40 mm", description="What the join and the ends need besides.", examples=["40 mm"])
    cut_on: Literal["bias", "straight", "bought"] = Field(
        "bought", description="How it is cut; a bought one is fold-over elastic.", examples=["bought"]
    )
    material: Name | None = Field(None, description="The role it is cut from.", examples=["contrast"])


class MeshChange(Part):
    """One layer of mesh in place of all that a piece was cut from."""

    mesh: Name = Field(description="The piece.", examples=["pocket"])
    material: Name = Field(description="The role of the mesh.", examples=["mesh"])
    binding: MeshBinding = Field(MeshBinding(), description="How edges that would be raw are bound.")


class ToileChange(Part):
    """A trial in plain cloth."""

    toile: Name = Field(description="The role of the plain cloth.", examples=["calico"])


Change = ClothChange | AddChange | GiveChange | HideChange | SplitChange | MeshChange | ToileChange
KINDS: Mapping[str, type[Change]] = {
    "cloth": ClothChange,
    "add": AddChange,
    "give": GiveChange,
    "hide": HideChange,
    "split": SplitChange,
    "mesh": MeshChange,
    "toile": ToileChange,
}
"""The kinds of change by the field that tells them apart."""


def read_changes(data: object) -> tuple[Change, ...]:
    """Read changes from parsed JSON. Raises RequestFaults with all faults, paths as in `changes.0.at`."""
    if not isinstance(data, Sequence) or isinstance(data, str | bytes) or not 1 <= len(data) <= MOST_CHANGES:
        raise RequestFaults([Fault("changes", "they are no list of changes", f"list 1 to {MOST_CHANGES}")])
    faults: list[Fault] = []
    changes: list[Change] = []
    for number, written in enumerate(data):
        try:
            changes.append(_read_change(written, f"changes.{number}"))
        except RequestFaults as refused:
            faults += refused.faults
    if faults:
        raise RequestFaults(faults)
    return tuple(changes)


def _read_change(data: object, path: str) -> Change:
    kinds = [kind for kind in KINDS if isinstance(data, Mapping) and kind in data]
    if len(kinds) != 1:
        said = "no kind of change is" if not kinds else f"{' and '.join(kinds)} are"
        raise RequestFaults([Fault(path, f"{said} named", f"name one of {', '.join(KINDS)}")])
    try:
        plain: Any = frozen(data, path)
        return KINDS[kinds[0]].model_validate(plain)
    except TooDeep as error:
        raise RequestFaults([error.fault]) from None
    except ValidationError as error:
        raise RequestFaults(faults_of(error, plain, path)) from None
