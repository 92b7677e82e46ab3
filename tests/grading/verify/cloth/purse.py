"""A purse laid on its cloth by hand: every number below follows from a drawing on squared paper.

Two panels of 220 x 120 mm, a band of 320 x 60 and a pocket of 120 x 100 (all with 10 mm of allowance) lie on 500 mm of
cloth: the panels side by side, the band and the pocket beside each other after them. 220 mm are laid.
"""

from __future__ import annotations

import copy
from typing import Any

from grading.verify import Verdict, judge_layouts

Json = dict[str, Any]

DIMENSIONS = {"width": 200, "height": 100, "band": 300}


def rectangle(width: Any, height: Any, **parts: Any) -> Json:
    return {"outline": {"rectangle": [width, height]}, "layers": [{"material": "main"}]} | parts


PIECES = {
    "panel": rectangle("width", "height", uses=["front", "back"]),
    "band": rectangle("band", 40),
    "pocket": rectangle("width/2", 80),
}


def document(pieces: Json | None = None, main: Json | None = None, **parts: Any) -> Json:
    """The pattern; `main` is what is said of its cloth besides, or in place of, a usable width of 500 mm."""
    cloth = {"says": "canvas"} | ({"usable_width": "500 mm"} if "sheet" not in (main or {}) else {}) | (main or {})
    plain = {
        "format": 1,
        "name": "Purse",
        "dimensions": {name: {"base": base} for name, base in DIMENSIONS.items()},
        "materials": {"main": cloth},
        "pieces": PIECES if pieces is None else pieces,
    }
    return copy.deepcopy(plain | parts)


def grade(ruler: str | None = None, **values: str) -> Json:
    """What a layout rests on of a grade: its size and its printed dimensions."""
    printed = {name: {"value": values.get(name, f"{base} mm")} for name, base in DIMENSIONS.items()}
    request: Json = {"scale": 1} if ruler is None else {"scale": 1, "ruler": ruler}
    return {"kind": "grade", "size": {"name": None, "request": request}, "dimensions": printed}


SETTINGS: Json = {
    "style": "scissors",
    "gap": "0 mm",
    "edge": "0 mm",
    "spare": "5 %",
    "bias": "strips",
    "effort": "usual",
    "seed": 0,
    "widths": ["900 mm"],
    "offcut": "50 mm",
    "cloths": {},
}


def mm(value: float) -> str:
    return f"{value:g} mm"


def laid(letter: str, piece: str, at: tuple[float, float], size: tuple[float, float], **parts: Any) -> Json:
    """One piece as laid: its corner nearest to (0, 0), and its measures across and along as it lies."""
    plain = {
        "letter": letter,
        "piece": piece,
        "layer": "main",
        "copy": 1,
        "mirrored": False,
        "x": mm(at[0]),
        "y": mm(at[1]),
        "across": mm(size[0]),
        "along": mm(size[1]),
        "turned": 0,
        "kind": "piece",
    }
    return plain | parts


def purse() -> list[Json]:
    """The pieces of the purse, as drawn above."""
    return [
        laid("A", "panel", (0, 0), (220, 120)),
        laid("A", "panel", (220, 0), (220, 120), copy=2),
        laid("B", "band", (0, 120), (320, 60)),
        laid("C", "pocket", (320, 120), (120, 100)),
    ]


def layout(pieces: list[Json] | None = None, **parts: Any) -> Json:
    """The layout of the purse, or another one with the parts that differ."""
    plain = {
        "says": "canvas",
        "style": "scissors",
        "usable_width": "500 mm",
        "washed_width": "500 mm",
        "width": "500 mm",
        "grid": "1 mm",
        "direction": "any",
        "pieces": purse() if pieces is None else pieces,
        "length": "220 mm",
        # 84000 mm2 on 500 mm of width are 168 mm; no pieces one after another give less than 180 (120 + 60) from there.
        "least": {"length": "180 mm", "certificate": {"kind": "area"}},
        "above": "at most 22.3 % above the least possible",
        "shortest": False,
        "offcuts": [{"x": "440 mm", "y": "0 mm", "across": "60 mm", "along": "220 mm"}],
        "buy": {"needed": "220 mm", "spare": "11 mm", "unit": "100 mm", "length": "300 mm", "waste": "23.6 %"},
        "widths": [{"usable_width": "900 mm", "length": "120 mm", "buy": "200 mm"}],
        "fat_quarters": 1,
    }
    return plain | parts


def layouts(cloth: Json | None = None, of: Json | None = None, **settings: Any) -> Json:
    """The paper about all cloths (of one here); `of` is the grade that it is about."""
    about = grade() if of is None else of
    return {
        "format": 1,
        "kind": "layouts",
        "pattern": "Purse",
        "size": about["size"],
        "ruler": about["size"]["request"].get("ruler", "1 mm"),
        "settings": copy.deepcopy(SETTINGS | settings),
        "cloths": {"main": layout() if cloth is None else cloth},
        "without": [],
    }


def judged(paper: Json, pattern: Json | None = None, of: Json | None = None) -> Verdict:
    return judge_layouts(document() if pattern is None else pattern, grade() if of is None else of, paper)


def failing(paper: Json, pattern: Json | None = None, of: Json | None = None) -> set[str]:
    """What does not hold of a paper."""
    return {claim.about for claim in judged(paper, pattern, of).failing}


def places(pieces: list[Json], pattern: Json | None = None, cloth: Json | None = None, **settings: Any) -> set[str]:
    """What does not hold of where pieces lie: the claims other than those about printed numbers and the certificate."""
    paper = layouts(layout(pieces, **(cloth or {})), **settings)
    return {about for about in failing(paper, pattern) if not about.startswith(("printed:", "least:"))}


def replaced(value: Any, path: tuple[Any, ...], new: Any) -> Any:
    """A copy with one part put in the place of another."""
    if not path:
        return new
    copied: Any = dict(value) if isinstance(value, dict) else list(value)
    copied[path[0]] = replaced(value[path[0]], path[1:], new)
    return copied
