"""What a document says of prints, once some of its cloths have none: motifs, borders and matches that mean nothing."""

from __future__ import annotations

from collections.abc import Iterator

from grading.substitute.layers import Json, title_of
from grading.substitute.steps import use_of, uses_of


def forget_prints(before: Json, document: Json) -> None:
    """Take out, in place, each motif, border and match that a change has left without its print."""
    for piece in document["pieces"].values():
        _motif(document, piece)
        materials = [document["materials"].get(layer["material"], {}) for layer in piece["layers"]]
        if "on_border" in piece and not any(material.get("border") for material in materials):
            del piece["on_border"]
    for section in ("seams", "coverings"):
        for name, part in document.get(section, {}).items():
            old = before.get(section, {}).get(name)
            ran_on = old is None or _shared(before, _joined(old))
            if part.get("match") and ran_on and not _shared(document, _joined(part)):
                del part["match"]


def _motif(document: Json, piece: Json) -> None:
    motif = piece.get("motif")
    if motif is None:
        return
    printed = [title_of(layer) for layer in piece["layers"] if _has_repeat(document, layer["material"])]
    if "layers" in motif:
        printed = [name for name in motif["layers"] if name in printed]
        motif["layers"] = printed
    if not printed:
        del piece["motif"]


def _has_repeat(document: Json, role: str) -> bool:
    return bool(document["materials"].get(role, {}).get("repeat"))


def _joined(part: Json) -> Iterator[str]:
    for key in ("join", "to"):
        yield from (use_of(entry) for entry in part.get(key, ()))
    yield from (part[key] for key in ("piece", "over") if key in part)


def _shared(document: Json, uses: Iterator[str]) -> set[str]:
    """The printed materials that the pieces of these uses share."""
    piece_of = {use: piece for piece in document["pieces"] for use in uses_of(document, piece)}
    printed = [
        {layer["material"] for layer in document["pieces"][piece_of[use]]["layers"]} for use in uses if use in piece_of
    ]
    shared = set.intersection(*printed) if printed else set()
    return {role for role in shared if _has_repeat(document, role)}
