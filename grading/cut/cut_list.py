"""The cut list: what to cut from each material, as a cutting table needs it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from grading.cut.findings import CutFinding
from grading.cut.pieces import DrawnPiece, Extent
from grading.exact import Ruler
from grading.model.cloth import washed_width
from grading.model.model import Model
from grading.model.pieces import Layer, letter_of


@dataclass(frozen=True)
class Across:
    """Two measures of a piece on the table: across the grain and along it, in mm."""

    across: Fraction
    along: Fraction


@dataclass(frozen=True)
class Strips:
    """A long strip joined from several widths of cloth: how many, their total length in mm, the joins."""

    count: int
    total: Fraction
    joins: int


@dataclass(frozen=True)
class Row:
    """One row of the cut list; measures in mm. `first` is the first cut, rough where it is trimmed later."""

    letter: str
    piece: str
    layer: str
    material: str
    uses: tuple[str, ...]
    count: int
    mirrored: int
    is_template: bool
    grain: str
    first: Across
    has_allowance: bool
    trim: Across | None
    finished: Across
    on_fold: Across | None
    strips: Strips | None


def cut_list(model: Model, drawn: Mapping[str, DrawnPiece], findings: Mapping[str, CutFinding]) -> tuple[Row, ...]:
    """All rows, those of bindings cut from a material too: by material in the document's order, largest first."""
    rows = [row for piece in drawn.values() for row in _piece_rows(model, piece)]
    rows += _binding_rows(model, findings, len(drawn))
    materials = list(model.pattern.materials)
    return tuple(
        sorted(
            rows,
            key=lambda row: (
                materials.index(row.material),
                -row.first.across * row.first.along,
                len(row.letter),  # Z before AA
                row.letter,
                row.layer,
            ),
        )
    )


def _turned(extent: Extent, grain: str) -> Across:
    return Across(extent.height, extent.width) if grain == "across" else Across(extent.width, extent.height)


def _rough(trimmed: Across, layer: Layer, ruler: Ruler, *, halved: bool) -> Across:
    """The first cut of a layer that is trimmed to `trimmed`; on the fold half of it is raised to the ruler."""
    room = 2 * (layer.oversize or Fraction(0))
    across, along = layer.shrinks
    parts = 2 if halved else 1
    return Across(
        parts * _before_shrinking(trimmed.across / parts, across, ruler) + room,
        _before_shrinking(trimmed.along, along, ruler) + room,
    )


def _before_shrinking(measure: Fraction, share: Fraction, ruler: Ruler) -> Fraction:
    """What shrinks to a measure, raised to the ruler."""
    return ruler.raised(measure / (1 - share)) if share else measure


def _piece_rows(model: Model, drawn: DrawnPiece) -> Iterator[Row]:
    for layer in drawn.piece.layers:
        yield _layer_row(model, drawn, layer)


def _layer_row(model: Model, drawn: DrawnPiece, layer: Layer) -> Row:
    piece = drawn.piece
    grain = piece.written.grain
    trimmed = _turned(drawn.cut if layer.inset is None else drawn.stitched.grown(-layer.inset), grain)
    first = _rough(trimmed, layer, model.ruler, halved=piece.written.on_fold)
    is_trimmed = bool(layer.oversize) or any(layer.shrinks)
    mirrored = sum(use.mirrored for use in piece.uses)
    on_fold = Across(first.across / 2, first.along) if piece.written.on_fold else None
    return Row(
        letter=piece.letter,
        piece=piece.name,
        layer=layer.name,
        material=layer.material,
        uses=tuple(use.name for use in piece.uses),
        count=layer.count * (len(piece.uses) - mirrored),
        mirrored=layer.count * mirrored,
        is_template=piece.is_template,
        grain=grain,
        first=first,
        has_allowance=layer.inset is None,
        trim=trimmed if is_trimmed else None,
        finished=_turned(drawn.stitched, grain),
        on_fold=on_fold,
        strips=_strips(model, layer.material, first.across) if piece.written.strip else None,
    )


def _binding_rows(model: Model, findings: Mapping[str, CutFinding], first_letter: int) -> Iterator[Row]:
    cut_bindings = [finding for finding in findings.values() if finding.material is not None]
    for number, finding in enumerate(cut_bindings):
        binding = model.findings[finding.name].written.binding
        if finding.material is None or finding.length is None or finding.width is None or binding is None:
            continue
        measures = Across(finding.length, finding.width)
        yield Row(
            letter=letter_of(first_letter + number),
            piece=finding.name,
            layer="strip",
            material=finding.material,
            uses=(),
            count=finding.count,
            mirrored=0,
            is_template=False,
            grain=binding.cut_on,
            first=measures,
            has_allowance=False,
            trim=None,
            finished=measures,
            on_fold=None,
            strips=_strips(model, finding.material, finding.length),
        )


def _strips(model: Model, material: str, length: Fraction) -> Strips | None:
    """How a strip is joined from widths of cloth; None where one width will do or the width is not known."""
    usable = washed_width(model.pattern.materials[material], model.pattern.unit)
    return None if usable is None else joined(length, usable, default_allowance(model))


def joined(length: Fraction, usable: Fraction, allowance: Fraction) -> Strips | None:
    """A strip of this length joined from widths of cloth; None where one will do, or where joins take a whole width."""
    if length <= usable or usable <= 2 * allowance:
        return None
    count = ceil((length - 2 * allowance) / (usable - 2 * allowance))
    return Strips(count, length + 2 * allowance * (count - 1), count - 1)


def default_allowance(model: Model) -> Fraction:
    """The document's allowance as put on the ruler, in mm."""
    return model.draft.constant("allowance", model.pattern.allowance)
