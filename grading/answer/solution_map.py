"""The map of a pattern for all sizes: each dimension that its lasting equations decide, from those they leave free."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from grading.form import CONSTANT
from grading.model import Model
from grading.solve import Compiled

Json = dict[str, Any]
ONE = "1"
"""The key of the constant in a row of the map; no dimension has such a name."""


def write_map(model: Model, compiled: Compiled, options: Mapping[str, str]) -> Json:
    """The map as plain data, in mm, exact with pi as PI40.

    `options` are the choices of the pattern that the model is of, if its document has options. `curved` lists the
    equations in which roots stay: of them the map says nothing.
    """
    return {
        "format": 1,
        "kind": "map",
        "pattern": model.pattern.name,
        "ruler": str(model.ruler),
        **({"options": dict(options)} if options else {}),
        "free": [name for name in compiled.dimensions if name not in compiled.solution],
        "map": {name: _row(compiled.solution[name]) for name in compiled.dimensions if name in compiled.solution},
        "curved": list(compiled.curved),
    }


def _row(row: Mapping[str, Fraction]) -> dict[str, str]:
    return {name or ONE: str(row[name]) for name in sorted(row, key=lambda name: (name != CONSTANT, name))}
