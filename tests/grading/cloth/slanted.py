"""Slanted pieces that nest, and where their cut lines lie on the cloth, by shapely."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from shapely import Polygon
from shapely.affinity import rotate, scale, translate

from grading.cloth import lay_out, write_layouts
from grading.exact import read_length
from grading.pipeline import grade_document, grade_size, read_document
from tests.grading.cloth.laid import Json, box_of, length_of

QUICK: Json = {"effort": "quick", "widths": []}


def drawn(corners: list[tuple[float, float]], **piece: Any) -> Json:
    """A piece with straight edges between corners, clockwise from (0, 0), cut on its stitching line."""
    names = [f"edge_{number}" for number in range(len(corners))]
    ends = [*corners[1:], corners[0]]
    return {
        "outline": {
            "start": [0, 0],
            "edges": [{"name": name, "to": list(to)} for name, to in zip(names, ends, strict=True)],
        },
        "edges": {name: {"allowance": 0, "fate": "raw"} for name in names},
        "layers": [{"material": "main"}],
        **piece,
    }


def gore(wide: float, narrow: float, high: float, lean: float = 0.5, **piece: Any) -> Json:
    """A trapezoid that is wide at its top; `lean` is the part of its slant that is at its left."""
    slant = wide - narrow
    return drawn([(0, 0), (wide, 0), (wide - (1 - lean) * slant, -high), (lean * slant, -high)], **piece)


def named(count: int, mirrored: int = 0) -> list[Any]:
    """Uses of a piece, plain and mirrored."""
    uses: list[Any] = [f"plain_{number}" for number in range(count)]
    return uses + [{"name": f"mirrored_{number}", "mirrored": True} for number in range(mirrored)]


@dataclass(frozen=True)
class OnCloth:
    """The documents of a grade and of its layouts, and the layout of its main cloth."""

    grade: Json
    layouts: Json
    layout: Json

    @property
    def nested(self) -> list[Json]:
        """The entries that are nested in pairs."""
        return [piece for piece in self.layout["pieces"] if "nested" in piece]

    @property
    def shapes(self) -> list[Polygon]:
        """The cut lines of all pieces where they lie."""
        return [shape_of(self.grade, piece) for piece in self.layout["pieces"]]


def on_cloth(document: Json, settings: Json | None = None, role: str = "main", size: str = "base") -> OnCloth:
    """A document laid on its cloths, with its documents as they come back from JSON."""
    grade = grade_size(read_document(document), size=size)
    layouts = write_layouts(lay_out(grade, QUICK | (settings or {})))
    plain = json.loads(json.dumps(layouts))
    return OnCloth(json.loads(json.dumps(grade_document(grade))), plain, plain["cloths"][role])


def shape_of(grade: Json, laid: Json) -> Polygon:
    """The cut line of a piece on its cloth: with its grain along it, mirrored left and right, turned clockwise, and in
    the middle of its box. Only of straight edges.
    """
    row = next(row for row in grade["cut_list"] if (row["letter"], row["layer"]) == (laid["letter"], laid["layer"]))
    cut = grade["pieces"][laid["piece"]]["cut"]
    shape = Polygon([[float(read_length(text)) for text in segment["start"]] for segment in cut])
    if row["grain"] == "across":
        shape = rotate(shape, -90, origin=(0, 0))
    if laid["mirrored"]:
        shape = scale(shape, xfact=-1, origin=(0, 0))
    shape = rotate(shape, -laid["turned"], origin=(0, 0))
    box = box_of(laid)
    left, low, right, high = shape.bounds
    return translate(
        shape, float(box.left + box.right) / 2 - (left + right) / 2, float(box.low + box.high) / 2 - (low + high) / 2
    )


def length_on(document: Json, direction: str, settings: Json | None = None) -> Any:
    """How long the layout of the main cloth is where that may be used in these directions."""
    turned = {"cloths": {"main": {"direction": direction}}}
    return length_of(on_cloth(document, (settings or {}) | turned).layout)
