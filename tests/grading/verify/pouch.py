"""A rounded pouch, and its grades worked out by hand: every number below follows from a drawing on paper.

The panel is a rectangle of width x height with its two lower corners rounded; one band runs down its right side,
round the bottom and up its left side, so its length is 2(h - r) + (w - 2r) + pi r. A pocket lies on the front, from
side to side. The size `small` asks for 4/5 of the base, and the least width of 180 mm binds.
"""

from __future__ import annotations

import copy
from fractions import Fraction
from math import pi
from typing import Any

PATTERN: dict[str, Any] = {
    "format": 1,
    "name": "Rounded pouch",
    "dimensions": {
        "width": {"base": 200, "limits": [180, 300]},
        "height": {"base": "15 cm"},
        "corner": {"base": 30},
        "depth": {"base": 60, "sizing": "fixed"},
        "band_length": {"base": 474, "sizing": "decided"},
        "pocket_width": {"base": 200, "sizing": "decided"},
        "pocket_height": {"base": 60},
        "loops": {"base": 2, "kind": "count"},
    },
    "materials": {"main": {"says": "canvas", "usable_width": "1370 mm"}, "foam": {"says": "foam", "kind": "foam"}},
    "pieces": {
        "panel": {
            "uses": ["front", "back"],
            "outline": {
                "rounded_rectangle": {
                    "width": "width",
                    "height": "height",
                    "corners": {"bottom_left": "corner", "bottom_right": "corner"},
                }
            },
            "edges": {"top": {"allowance": "25 mm", "fate": "hemmed twice"}},
            "up": "top",
            "notches": {"foot": {"edge": "bottom", "at": "middle"}, "mark": {"edge": "right", "at": "20 mm"}},
            "lines": {"label": {"from": ["width/2", "-20"], "to": ["width/2", "-40"]}},
            "layers": [{"material": "main"}, {"material": "foam", "inset": "2 mm"}],
        },
        "band": {
            "outline": {"rectangle": ["band_length", "depth"]},
            "edges": {"left": {"fate": "hemmed once"}, "right": {"fate": "hemmed once"}},
            "notches": {"foot": {"edge": "top", "at": "middle"}},
            "grain": "across",
            "layers": [{"material": "main"}],
        },
        "pocket": {
            "outline": {"rectangle": ["pocket_width", "pocket_height"]},
            "edges": {"top": {"allowance": "20 mm", "fate": "hemmed twice"}, "bottom": {"fate": "folded"}},
            "layers": [{"material": "main"}],
        },
    },
    "seams": {
        "front_round": {
            "join": ["front.right", "front.bottom_right", "front.bottom", "front.bottom_left", "front.left"],
            "to": ["band.top"],
            "notches": [["front.foot", "band.foot"]],
        },
        "back_round": {
            "join": ["back.right", "back.bottom_right", "back.bottom", "back.bottom_left", "back.left"],
            "to": ["band.bottom"],
        },
    },
    "coverings": {
        "pocket_on_front": {
            "piece": "pocket",
            "over": "front",
            "caught": {"left": "left", "right": "right"},
            "clear": {"top": "30 mm"},
        }
    },
    "contents": {
        "card": {"in": "pocket", "object": ["100 mm", "90 mm", "2 mm"], "ease": "10 mm", "stands_out": "45 mm"}
    },
    "findings": {"loop": {"webbing": {"width": "20 mm", "length": "80 mm", "ends": {"by": "10 mm"}}, "count": "loops"}},
    "rules": {"shape": {"holds": "width >= height + 10", "because": "it lies on its long side"}},
    "sizes": {"small": {"scale": "4/5"}},
    "steps": [
        {
            "text": "Hem the pocket by {pocket.top.allowance} and lay it {pocket_on_front.clear.top} below the top.",
            "action": "sew",
            "uses": ["pocket"],
            "lays": ["pocket_on_front"],
            "finishes": ["pocket.top"],
        },
        {
            "text": "Sew the band ({front_round.length}) round front and back; fix {loops} loops of {loop.length}.",
            "action": "sew",
            "makes": ["front_round", "back_round"],
            "uses": ["loop"],
        },
        {
            "text": "Hem {{all}} upper edges.",
            "action": "sew",
            "finishes": ["front.top", "back.top", "band.left", "band.right"],
        },
    ],
}

PI40 = Fraction(3141592653589793238462643383279502884197, 10**39)


def mm(value: float | Fraction) -> str:
    number = Fraction(value)
    return f"{number} mm" if number.denominator == 1 else f"{float(number)} mm"


def about(value: float) -> str:
    return f"{value:.2f} mm"


def near(*values: float) -> list[str]:
    return [about(value) for value in values]


def spot(x: float, y: float) -> list[str]:
    return [mm(x), mm(y)]


def rectangle(letter: str, w: float, h: float, allowances: tuple[float, float, float, float]) -> dict[str, Any]:
    """A rectangle from (0, 0): edges top, right, bottom, left, each with its own allowance."""
    top, right, bottom, left = allowances
    ends = {"top": (w, 0), "right": (w, -h), "bottom": (0, -h), "left": (0, 0)}
    lengths = {"top": w, "right": h, "bottom": w, "left": h}
    corners = [(-left, top), (w + right, top), (w + right, -h - bottom), (-left, -h - bottom)]
    return {
        "letter": letter,
        "width": mm(w),
        "height": mm(h),
        "start": ["0 mm", "0 mm"],
        "edges": {
            edge: {"length": mm(lengths[edge]), "allowance": mm(allowance), "segments": [{"to": spot(*ends[edge])}]}
            for edge, allowance in zip(ends, allowances, strict=True)
        },
        "notches": {},
        "lines": {},
        "cut": [
            {"edge": edge, "start": near(*corners[i]), "end": near(*corners[(i + 1) % 4])}
            for i, edge in enumerate(ends)
        ],
    }


def panel(w: int, h: int, r: int) -> dict[str, Any]:
    arc = {"turns": "right"}
    quarter = about(pi / 2 * r)
    right_low, bottom_right, bottom_left, left_low = (w, r - h), (w - r, -h), (r, -h), (0, r - h)
    right_centre, left_centre = (w - r, r - h), (r, r - h)

    def edge(length: str, allowance: int, to: tuple[int, int], **more: Any) -> dict[str, Any]:
        return {"length": length, "allowance": mm(allowance), "segments": [{"to": spot(*to), **more}]}

    def cut(name: str, start: tuple[int, int], end: tuple[int, int], **more: Any) -> dict[str, Any]:
        return {"edge": name, "start": near(*start), "end": near(*end), **more}

    return {
        "letter": "A",
        "width": mm(w),
        "height": mm(h),
        "start": ["0 mm", "0 mm"],
        "edges": {
            "top": edge(mm(w), 25, (w, 0)),
            "right": edge(mm(h - r), 10, right_low),
            "bottom_right": edge(quarter, 10, bottom_right, centre=spot(*right_centre), **arc),
            "bottom": edge(mm(w - 2 * r), 10, bottom_left),
            "bottom_left": edge(quarter, 10, left_low, centre=spot(*left_centre), **arc),
            "left": edge(mm(h - r), 10, (0, 0)),
        },
        "notches": {"foot": {"edge": "bottom", "at": mm(w / 2 - r)}, "mark": {"edge": "right", "at": "20 mm"}},
        "lines": {"label": {"from": spot(w / 2, -20), "to": spot(w / 2, -40), "length": "20 mm"}},
        "cut": [
            cut("top", (-10, 25), (w + 10, 25)),
            cut("right", (w + 10, 25), (w + 10, r - h)),
            cut("bottom_right", (w + 10, r - h), (w - r, -h - 10), centre=near(*right_centre), **arc),
            cut("bottom", (w - r, -h - 10), (r, -h - 10)),
            cut("bottom_left", (r, -h - 10), (-10, r - h), centre=near(*left_centre), **arc),
            cut("left", (-10, r - h), (-10, 25)),
        ],
    }


def size(across: float, along: float) -> dict[str, str]:
    return {"across": mm(across), "along": mm(along)}


def row(
    letter: str, piece: str, step: int, cut: tuple[float, float], finished: tuple[float, float], **more: Any
) -> dict[str, Any]:
    plain = {
        "letter": letter,
        "piece": piece,
        "layer": "main",
        "material": "main",
        "uses": [piece],
        "count": 1,
        "mirrored": 0,
        "kind": "measures",
        "grain": "along",
        **size(*cut),
        "allowance": "included",
        "trim": None,
        "finished": size(*finished),
        "on_fold": None,
        "strips": None,
        "step": step,
    }
    return plain | more


def grade(
    name: str = "base", width: int | None = None, band: int | None = None, certified_width: int | None = None
) -> dict[str, Any]:
    """The grade of the sizes `base` and `small`, on a ruler of 1 mm.

    With a width or a band given, everything that follows from them is printed accordingly; the certificate stays as it
    is, or follows a width of its own.
    """
    scale = Fraction(1) if name == "base" else Fraction(4, 5)
    wish = {"width": 200 * scale, "height": 150 * scale, "corner": 30 * scale, "depth": Fraction(60)}
    wish["pocket_height"] = 60 * scale
    nearest_width = certified_width or max(int(wish["width"]), 180)
    w = width or nearest_width
    h, r, p = (int(wish[key]) for key in ("height", "corner", "pocket_height"))
    straight = 2 * (h - r) + (w - 2 * r)
    side = straight + pi * r
    band = band or round(side)
    nearest: dict[str, Fraction] = {**wish, "width": Fraction(nearest_width), "pocket_width": Fraction(nearest_width)}
    nearest["band_length"] = straight - w + nearest_width + PI40 * r
    values = {**{key: int(value) for key, value in nearest.items()}, "band_length": band}
    values |= {"width": w, "pocket_width": w}
    # The width is held at its least: 2 (x - wish) / base².
    pull = 0 if certified_width else 2 * (nearest_width - wish["width"]) / Fraction(200) ** 2
    finished = {"panel": (w, h), "band": (60, band), "pocket": (w, p)}
    band_piece = rectangle("B", band, 60, (10, 10, 10, 10))
    band_piece["notches"] = {"foot": {"edge": "top", "at": mm(Fraction(band, 2))}}
    main_rows = [
        row("A", "panel", 1, (w + 20, h + 35), finished["panel"], uses=["front", "back"], count=2),
        row("B", "band", 2, (80, band + 20), finished["band"], grain="across"),
        row("C", "pocket", 1, (w + 20, p + 20), finished["pocket"]),
    ]
    main_rows.sort(key=lambda item: -Fraction(item["across"][:-3]) * Fraction(item["along"][:-3]))
    foam = {"uses": ["front", "back"], "count": 2, "layer": "foam", "material": "foam", "allowance": "none"}
    return {
        "format": 1,
        "kind": "grade",
        "pattern": "Rounded pouch",
        "size": {"name": name, "request": {"scale": 1} if name == "base" else {"scale": "4/5"}},
        "unit": "mm",
        "ruler": "1 mm",
        "state": "calculated, not yet sewn",
        "dimensions": {
            **{
                key: {
                    "asked": None,
                    "nearest": about(float(nearest[key])) if key == "band_length" else mm(nearest[key]),
                    "value": mm(values[key]),
                }
                for key in nearest
            },
            "loops": {"asked": None, "nearest": "2", "value": "2"},
        },
        "altered": [],
        "stock": {},
        "pieces": {
            "panel": panel(w, h, r),
            "band": band_piece,
            "pocket": rectangle("C", w, p, (20, 10, 0, 10)),
        },
        "seams": {
            seam: {"join": about(side), "to": mm(band), "ease": "0 mm"} for seam in ("front_round", "back_round")
        },
        "coverings": {"pocket_on_front": {"left": "0 mm", "right": "0 mm", "top": "30 mm", "bottom": mm(h - 30 - p)}},
        "cut_list": [*main_rows, row("A", "panel", 1, (w - 4, h - 4), finished["panel"], **foam)],
        "findings": [
            {
                "name": "loop",
                "kind": "webbing",
                "count": 2,
                "width": "20 mm",
                "length": "100 mm",
                "stock": None,
                "says": "",
            }
        ],
        "steps": [
            "Hem the pocket by 20 mm and lay it 30 mm below the top.",
            f"Sew the band ({about(side)}) round front and back; fix 2 loops of 100 mm.",
            "Hem {all} upper edges.",
        ],
        "certificate": {
            "wish": {key: str(value) for key, value in wish.items()},
            "nearest": {key: str(value) for key, value in nearest.items()},
            "multipliers": {"limits:width:least": str(pull)} if pull else {},
        },
    }


def pattern() -> dict[str, Any]:
    """A copy of the pattern that a test may change."""
    return copy.deepcopy(PATTERN)
