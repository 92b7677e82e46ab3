"""Layers that are cut from another material."""

from __future__ import annotations

from grading.substitute.apart import refuse
from grading.substitute.changes import GiveChange
from grading.substitute.layers import Json, check_role, find_piece, give_layer, outer_layer, title_of
from grading.substitute.words import listed, words


def give_layers(document: Json, change: GiveChange) -> str:
    """Cut layers from another material, in place. Raises Refused."""
    check_role(document, change.material)
    told = []
    for number, wanted in enumerate(change.give):
        piece = find_piece(document, wanted.piece, f"give.{number}.piece")
        titles = [title_of(layer) for layer in piece["layers"]]
        if wanted.layer is None:
            place = outer_layer(document, wanted.piece)
        elif wanted.layer in titles:
            place = titles.index(wanted.layer)
        else:
            raise refuse(
                f"give.{number}.layer",
                f"no layer of {wanted.piece!r} is named {wanted.layer!r}",
                f"it has {', '.join(titles)}",
            )
        give_layer(piece, place, change.material)
        told.append(words(wanted.piece) + (f" ({titles[place]})" if len(titles) > 1 else ""))
    return f"{listed(told)} cut from {change.material}"
