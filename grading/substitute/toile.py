"""A trial in plain cloth: every piece cut once, from one cloth."""

from __future__ import annotations

from grading.substitute.changes import ToileChange
from grading.substitute.layers import Json, check_role, give_layer, kind_of, outer_layer
from grading.substitute.steps import LISTS

LEFT_OUT = ("foam", "interfacing")
"""Kinds of material that a toile does without."""
AS_THEY_ARE = ("mesh", "film")
"""Kinds of material that plain cloth is no trial of."""
OF_LAYERS = ("fuse", "quilt", "trim")
"""What is done to layers that a toile does not have; steps that only do that are left out."""


def make_toile(document: Json, change: ToileChange) -> str:
    """Cut each piece once from one cloth, in place; mesh and film stay. Raises Refused.

    Linings that lie under another layer, foam and interfacing are left out; linings that are pieces of their own are
    cut from the plain cloth, since other pieces are sewn to them.
    """
    check_role(document, change.toile, "toile", ("cloth",))
    for name, piece in document["pieces"].items():
        kept = _kept(document, name)
        piece["layers"] = [_plain(layer) for layer in kept]
        for place, layer in enumerate(kept):
            if kind_of(document, layer["material"]) not in AS_THEY_ARE:
                give_layer(piece, place, change.toile)
    for finding in document.get("findings", {}).values():
        binding = finding.get("binding", {})
        if "material" in binding and kind_of(document, binding["material"]) == "cloth":
            binding["material"] = change.toile
    steps = document.get("steps", [])
    steps[:] = [step for step in steps if step["action"] not in OF_LAYERS or any(step.get(key) for key in LISTS[1:])]
    return f"a toile: every cloth is {change.toile}, without linings, foam and interfacing"


def _kept(document: Json, name: str) -> list[Json]:
    """The outer layer; of layers that depend on options all up to the first that is always there."""
    layers = document["pieces"][name]["layers"]
    place = outer_layer(document, name)
    kept = [layers[place]]
    for layer in layers[place + 1 :]:
        if not kept[-1].get("when"):
            break
        if kind_of(document, layer["material"]) not in LEFT_OUT and layer.get("face", "up") == "up":
            kept.append(layer)
    return kept


def _plain(layer: Json) -> Json:
    """A layer without what quilting or fusing asks of it."""
    return {key: value for key, value in layer.items() if key not in {"oversize", "inset", "shrinks"}}
