"""Motifs: which point of a drawing lies on which point of a print."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import read_length
from grading.verify.geometry.outlines import Place
from grading.verify.reading import fields, items, joined, name
from grading.verify.unreadable import refuse


@dataclass(frozen=True, eq=False)
class Motif:
    """A point of the drawing on a point of the repeat, in mm as bought; in all layers where `layers` is None.

    The point is never put on the ruler.
    """

    point: Place
    on: tuple[Fraction, Fraction]
    layers: frozenset[str] | None


def read_motif(value: object, path: str, expressions: Expressions, layers: Collection[str]) -> Motif:
    """Return the motif of a piece that has these layers."""
    given = fields(value, path, ("point",), ("on", "layers"))
    where = joined(path, "on")
    across, along = (read_length(item, expressions.unit, where) for item in items(given.get("on", [0, 0]), where, 2))
    chosen = None
    if "layers" in given:
        chosen = frozenset(
            name(item, joined(path, "layers")) for item in items(given["layers"], joined(path, "layers"))
        )
        if not chosen <= set(layers):
            refuse("names no layer of the piece", joined(path, "layers"))
    where = joined(path, "point")
    x, y = (_coordinate(expressions, item, where) for item in items(given["point"], where, 2))
    return Motif((x, y), (across, along), chosen)


def _coordinate(expressions: Expressions, value: object, path: str) -> Form:
    form = expressions.plain(value, path)
    if not form.is_rational:
        refuse("is a coordinate with pi or a root", path)
    return form
