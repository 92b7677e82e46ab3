"""Whether what a document says of a print can be: motifs, borders, and prints that run on."""

from __future__ import annotations

from collections.abc import Iterator

from grading.document.index import Index, read_entry
from grading.document.pattern import Pattern
from grading.document.pieces import Piece
from grading.errors import Fault


def print_faults(index: Index) -> Iterator[Fault]:
    """Every motif without a print, border edge without a border, and match of what cannot match."""
    pattern = index.pattern
    for name, piece in pattern.pieces.items():
        yield from _motif_faults(f"pieces.{name}", piece, pattern)
        yield from _border_faults(f"pieces.{name}", piece, pattern)
    for name, seam in pattern.seams.items():
        if seam.match and (len(seam.join) != 1 or len(seam.to) != 1 or not _whole(seam.join[0], seam.to[0])):
            yield Fault(
                f"seams.{name}.match",
                "the print can only run on from one whole edge to another",
                "take `match` out, or let each side be one whole edge",
            )
    for name, covering in pattern.coverings.items():
        if covering.match and covering.face == "down":
            yield Fault(
                f"coverings.{name}.match",
                f"{covering.piece!r} lies face down, so that no print runs on to it",
                "take `match` out, or lay it face up",
            )
        if covering.match and (covering.takes_up.across or covering.takes_up.along):
            yield Fault(
                f"coverings.{name}.match",
                f"folds take up some of {covering.piece!r}, so that no print runs on to it",
                "take `match` or `takes_up` out",
            )


def _whole(*side: object) -> bool:
    entries = [read_entry(entry) for entry in side]  # type: ignore[arg-type]
    return all(not entry.is_line and entry.start is None and entry.end is None for entry in entries)


def _motif_faults(path: str, piece: Piece, pattern: Pattern) -> Iterator[Fault]:
    motif = piece.motif
    if motif is None:
        return
    if piece.strip or piece.grain == "bias":
        why = "it may be joined from strips" if piece.strip else "it is cut on the bias"
        yield Fault(f"{path}.motif", f"no place of a print can be kept: {why}", "take `motif` out")
    printed = {
        layer.title: (repeat := pattern.materials[layer.material].repeat) is not None
        and (repeat.across is not None or repeat.along is not None)
        for layer in piece.layers
        if layer.material in pattern.materials
    }
    if motif.layers is None and not any(printed.values()):
        yield Fault(f"{path}.motif", "no material of this piece has a repeat", "give the printed material a `repeat`")
    for place, layer in enumerate(motif.layers or ()):
        if layer not in printed:
            known = ", ".join(printed)
            yield Fault(f"{path}.motif.layers.{place}", f"no layer of it is named {layer!r}", f"it has {known}")
        elif not printed[layer]:
            yield Fault(
                f"{path}.motif.layers.{place}",
                f"the material of the layer {layer!r} has no repeat",
                "give the material a `repeat`, or leave the layer out",
            )


def _border_faults(path: str, piece: Piece, pattern: Pattern) -> Iterator[Fault]:
    if piece.on_border is None:
        return
    materials = [pattern.materials[layer.material] for layer in piece.layers if layer.material in pattern.materials]
    if not any(material.border for material in materials):
        yield Fault(
            f"{path}.on_border", "no material of this piece has a border", 'give the printed material a "border"'
        )
    if piece.strip or piece.grain == "bias":
        why = "may be joined from strips" if piece.strip else "is cut on the bias"
        yield Fault(f"{path}.on_border", f"a piece that {why} cannot lie along a border", "take `on_border` out")
