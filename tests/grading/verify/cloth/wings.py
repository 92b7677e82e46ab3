"""Wings laid head to tail by hand, each 250 mm at the bottom, 100 at the top and 100 high, without allowances.

A side goes 75 mm in on 100, so it is 125 long: a triangle of 3, 4 and 5. A wing upside down touches its neighbour
175 mm further across, and is 4 mm away, at right angles to the side, another 5 mm further.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import Any

import shapely
from shapely import affinity

from tests.grading.verify.cloth.purse import Json, document, failing, laid, layout, layouts, mm
from tests.grading.verify.cloth.purse import grade as plain_grade

CORNERS = [(0, 0), (100, 0), (175, -100), (-75, -100)]
BARE = {edge: {"allowance": 0} for edge in ("top", "right", "bottom", "left")}
TRAPEZOID = {"trapezoid": {"top": 100, "bottom": 250, "height": 100}}
USES: list[Any] = ["a", "b", "c", "d"]


def wing(**parts: Any) -> Json:
    plain = {"outline": TRAPEZOID, "edges": BARE, "uses": USES, "layers": [{"material": "main"}]}
    return {"wing": plain | parts}


def bag(main: Json | None = None, **parts: Any) -> Json:
    """The pattern of four wings; `main` is its cloth, `parts` what is said of the piece."""
    return document(wing(**parts), main)


def cut_of(corners: Sequence[tuple[float, float]]) -> list[Json]:
    """A cut line of straight stretches, as printed."""
    ends = [*corners[1:], corners[0]]
    names = ("top", "right", "bottom", "left")
    return [
        {"edge": name, "start": [f"{x:.2f} mm" for x in start], "end": [f"{x:.2f} mm" for x in end]}
        for name, start, end in zip(names, corners, ends, strict=True)
    ]


def grade(corners: Sequence[tuple[float, float]] | None = None, **parts: Any) -> Json:
    """The grade with the cut line of the wing."""
    return plain_grade() | {"pieces": {"wing": {"cut": cut_of(CORNERS if corners is None else corners)}}} | parts


def entry(number: int, at: tuple[float, float], turned: int, nested: Any, **parts: Any) -> Json:
    size = (100, 250) if turned in {90, 270} else (250, 100)
    pair = {} if nested is None else {"nested": nested}
    return laid("A", "wing", at, size, copy=number, turned=turned, **pair, **parts)


def wings(shift: float = 175) -> list[Json]:
    """Two pairs, one after the other along; in each the second lies so far across from the first."""
    return [
        entry(1, (0, 0), 0, 1),
        entry(2, (shift, 0), 180, 1),
        entry(3, (0, 100), 0, 2),
        entry(4, (shift, 100), 180, 2),
    ]


def nested_layout(pieces: list[Json] | None = None, **parts: Any) -> Json:
    """The layout of the four wings, 425 x 200 mm on 500 mm of cloth."""
    plain = {
        "length": "200 mm",
        # Two boxes of 425 x 100 cannot lie side by side: 500 mm hold 425 of them at most, so 85000 mm2 need 200.
        "least": {"length": "200 mm", "certificate": {"kind": "area"}},
        "above": "as short as can be with these pairs",
        "shortest": True,
        "offcuts": [{"x": "425 mm", "y": "0 mm", "across": "75 mm", "along": "200 mm"}],
        # 2 x 425 x 100 of 500 x 200 mm2.
        "buy": {"needed": "200 mm", "spare": "10 mm", "unit": "100 mm", "length": "300 mm", "waste": "15.0 %"},
    }
    return layout(copy.deepcopy(wings() if pieces is None else pieces), **(plain | parts))


def blamed(pieces: list[Json], pattern: Json | None = None, of: Json | None = None, **settings: Any) -> set[str]:
    """The claims about places that do not hold."""
    return blamed_of(nested_layout(pieces), pattern, of, **settings)


def blamed_of(cloth: Json, pattern: Json | None = None, of: Json | None = None, **settings: Any) -> set[str]:
    about = grade() if of is None else of
    found = failing(layouts(cloth, about, **settings), bag() if pattern is None else pattern, about)
    return {claim for claim in found if not claim.startswith(("printed:cloths", "least:"))}


def polygon(piece: Json, corners: Sequence[tuple[float, float]] | None = None) -> shapely.Polygon:
    """Where the cut line lies, by shapely: mirrored, turned clockwise, and moved to the middle of the laid box."""
    shape = shapely.Polygon(CORNERS if corners is None else corners)
    if piece["mirrored"]:
        shape = affinity.scale(shape, -1, 1, origin=(0, 0))
    shape = affinity.rotate(shape, -piece["turned"], origin=(0, 0))
    x, y, across, along = (float(piece[key].split()[0]) for key in ("x", "y", "across", "along"))
    left, low, right, high = shape.bounds
    return affinity.translate(shape, x + across / 2 - (left + right) / 2, y + along / 2 - (low + high) / 2)


def moved(pieces: list[Json], index: int, **parts: Any) -> list[Json]:
    lengths = {key: mm(value) if key in {"x", "y"} else value for key, value in parts.items()}
    return [piece | lengths if place == index else piece for place, piece in enumerate(pieces)]


def without(pieces: list[Json], *places: int) -> list[Json]:
    """The pieces of which some are said to be in no pair."""
    return [
        {key: value for key, value in piece.items() if key != "nested"} if place in places else piece
        for place, piece in enumerate(pieces)
    ]
