"""Layers of a piece in a document's plain data: which is outermost, and how one is given to another material."""

from __future__ import annotations

from typing import Any

from grading.substitute.apart import refuse

Json = dict[str, Any]

SEEN = ("cloth", "mesh", "film")
"""Kinds of material that are seen from outside; foam and interfacing lie under them."""


def kind_of(document: Json, role: str) -> str:
    """What kind of material a role is of."""
    return str(document["materials"].get(role, {}).get("kind", "cloth"))


def title_of(layer: Json) -> str:
    """A layer's name, which is the material's where it has none of its own."""
    return str(layer.get("name") or layer["material"])


def outer_layer(document: Json, piece: str) -> int:
    """The place of the layer that is seen from outside: the first that lies face up and is no foam or interfacing."""
    layers = document["pieces"][piece]["layers"]
    up = [place for place, layer in enumerate(layers) if layer.get("face", "up") == "up"]
    seen = [place for place in up if kind_of(document, layers[place]["material"]) in SEEN]
    return (seen or up or [0])[0]


def find_piece(document: Json, name: str, path: str) -> Json:
    """A piece of the document. Raises Refused."""
    if name not in document["pieces"]:
        known = ", ".join(list(document["pieces"])[:12])
        raise refuse(path, f"no piece is named {name!r}", f"the document has {known}")
    piece: Json = document["pieces"][name]
    return piece


def check_role(document: Json, role: str, path: str = "material", kinds: tuple[str, ...] = ()) -> None:
    """Refuse a role that the document does not have, or that is of none of these kinds."""
    if role not in document["materials"]:
        known = ", ".join(document["materials"])
        raise refuse(path, f"no material is named {role!r}", f"the document has {known}; add a role before this change")
    kind = kind_of(document, role)
    if kinds and kind not in kinds:
        raise refuse(path, f"{role!r} is {kind}", f"name a role whose kind is {' or '.join(kinds)}")


def give_layer(piece: Json, place: int, role: str) -> None:
    """Cut a layer from another material; a motif that names the layer goes on naming it."""
    layer, others = piece["layers"][place], [each for n, each in enumerate(piece["layers"]) if n != place]
    before = title_of(layer)
    layer["material"] = role
    taken, number = {title_of(each) for each in others}, 2
    while title_of(layer) in taken:
        layer["name"] = f"{role}_{number}"
        number += 1
    motif = piece.get("motif", {})
    if "layers" in motif:
        motif["layers"] = [title_of(layer) if name == before else name for name in motif["layers"]]
