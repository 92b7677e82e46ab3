"""A purse and what it needs besides its pieces, counted and added up by hand."""

from __future__ import annotations

import copy
from fractions import Fraction
from typing import Any

from tests.grading.verify.cloth.purse import Json, document, grade, rectangle

EDGES = ("top", "right", "bottom", "left")
EUR = {"currency": "EUR"}
PRICE = {"amount": "1.25", "currency": "EUR", "per": "1 m"}

PIECES = {
    "panel": rectangle(
        "width",
        "height",
        uses=["front", "back"],
        edges={"left": {"fate": "hemmed once"}, "right": {"fate": "bound"}},
        lines={"quilting": {"from": [20, -20], "to": [180, -20], "kind": "quilting"}},
        layers=[{"material": "main"}, {"material": "foam", "inset": 3}],
    ),
    "pocket": rectangle(100, 80, edges={"top": {"fate": "hemmed twice"}}),
    "flap": rectangle(60, 40, edges={edge: {"fate": "bound"} for edge in EDGES}),
}

PATTERN = document(
    PIECES,
    materials={
        "main": {"says": "canvas", "usable_width": "500 mm", "thickness": "0.5 mm"},
        "foam": {"says": "foam", "thickness": "4 mm"},
    },
    dimensions={
        "width": {"base": 200},
        "height": {"base": 100},
        "band": {"base": 300},
        "tape": {"base": 25, "sizing": "stock", "stock": "tapes"},
        "short_zip": {"base": 180, "sizing": "stock", "stock": "zips"},
    },
    stock={"tapes": [20, 25], "zips": [180, 220]},
    seams={
        "bottom": {"join": ["front.bottom"], "to": ["back.bottom"]},
        "mouth": {"join": ["front.top"], "to": ["main_zip.top"], "kind": "zip"},
        "other_mouth": {"join": ["back.top"], "to": ["main_zip.bottom"], "kind": "topstitched", "stitch": "101"},
    },
    coverings={
        "pocket_on": {
            "piece": "pocket",
            "over": "front",
            "caught": {"bottom": "bottom"},
            "clear": {"left": 50},
        }
    },
    findings={
        "main_zip": {
            "zip": {"length": "width", "exposed": 20, "stock": "zips", "shortened": True, "sliders": 2},
            "price": {"amount": "3.10", "currency": "EUR", "per": "each"},
            "count": 2,
        },
        "inner_zip": {"zip": {"length": "short_zip", "exposed": 10, "stock": "zips"}},
        "strap": {"webbing": {"width": "tape", "length": 700, "stock": "tapes", "ends": {"by": 40}}, "price": PRICE},
        "loop": {"webbing": {"width": "tape", "length": 60}, "count": 4, "price": PRICE},
        "tab": {"webbing": {"width": 20, "length": 60}, "count": 2},
        "mouth": {"elastic": {"width": 10, "length": "width", "stretch": "3/2"}},
        "edging": {
            "binding": {
                "width": 20,
                "along": ["flap.top", "flap.right", "flap.bottom", "flap.left"],
                "join": 30,
                "cut_on": "bought",
            }
        },
        "side": {
            "binding": {"width": 30, "along": ["front.right", "back.right"], "cut_on": "straight", "material": "main"}
        },
        "ring": {"hardware": {"what": "D ring", "width": "tape"}, "count": 2},
        "hook": {"hardware": {"what": "hook"}, "price": {"amount": "0.80", "currency": "USD", "per": "each"}},
        "other_ring": {"hardware": {"what": "D ring", "width": 25}, "count": 3},
    },
    steps=[
        {"text": "Put the strap on.", "action": "sew", "uses": ["strap", "ring"]},
        {"text": "Sew the zip in.", "action": "sew", "makes": ["mouth", "other_mouth"]},
        {"text": "Bind.", "action": "bind", "binds": ["edging", "side"], "uses": ["front", "loop"]},
    ],
)

GRADE = grade(tape="25 mm", short_zip="180 mm") | {
    "dimensions": {
        name: {"value": f"{value} mm"}
        for name, value in {"width": 200, "height": 100, "band": 300, "tape": 25, "short_zip": 180}.items()
    }
}

SETTINGS: Json = {
    "waste": "15 %",
    "stitches_per_inch": "10",
    "reel": "100 m",
    "unit": "10 cm",
    "corner": "25 mm",
    "tape": "0.6 mm",
    "ratios": {},
}


def row(name: str, kind: str, **parts: Any) -> Json:
    plain = {
        "name": name,
        "kind": kind,
        "findings": [name],
        "says": "",
        "count": 1,
        "width": None,
        "each": None,
        "total": None,
        "buy": {"what": "it"},
        "waste": None,
        "steps": [],
    }
    return plain | parts


def buy(**parts: Any) -> Json:
    return {"what": "it"} | parts


ROWS = [
    # A zip of 200 from one of 220, twice.
    row(
        "main_zip",
        "zip",
        count=2,
        width="20 mm",
        each="20 cm",
        total="400 mm",
        buy=buy(length="220 mm", count=2),
        waste="40 mm",
        steps=[2],
        cost=EUR | {"amount": "6.20"},
    ),
    # Two sliders on each of two zips, of which each is sold with one.
    row("main_zip slider", "slider", findings=["main_zip"], count=4, buy=buy(count=2), steps=[2]),
    row("inner_zip", "zip", width="10 mm", each="180 mm", total="180 mm", buy=buy(length="180 mm", count=1)),
    # 700 + 2 x 40 and 4 x 60: 1020, up to 1.1 m, at 1.25 a metre 1.375, half up 1.38.
    row(
        "strap",
        "webbing",
        findings=["strap", "loop"],
        count=5,
        width="25 mm",
        total="1.02 m",
        buy=buy(length="1.1 m"),
        waste="8 cm",
        steps=[1, 3],
        cost=EUR | {"amount": "1.38"},
    ),
    row("tab", "webbing", count=2, width="20 mm", each="60 mm", total="120 mm", buy=buy(length="20 cm"), waste="80 mm"),
    # 200 / 1.5 = 133.3, up to 134.
    row("mouth", "elastic", width="10 mm", each="134 mm", total="134 mm", buy=buy(length="20 cm"), waste="66 mm"),
    # Round a flap of 60 x 40: 200 + 30, and 25 for each of four mitred corners.
    row(
        "edging",
        "binding",
        width="20 mm",
        each="330 mm",
        total="330 mm",
        buy=buy(length="40 cm"),
        waste="70 mm",
        steps=[3],
    ),
    row("side", "binding", width="30 mm", each="200 mm", total="200 mm", steps=[3]),
    row("ring", "hardware", findings=["ring", "other_ring"], count=5, width="25 mm", buy=buy(count=5), steps=[1]),
    row("hook", "hardware", buy=buy(count=1), cost={"amount": "0.80", "currency": "USD"}),
]

# Thread. Thickness of edges: main 0.5; the front's bottom 0.5 + 0.5 of the pocket caught in it; a zip's tape 0.6.
# 301, all with 10 stitches an inch (c = 2 + 2 T 10 / 25.4):
#   bottom: 200 mm, T 1.0 + 0.5 = 1.5          c = 3.1811
#   mouth: 200, T 0.5 + 0.6 = 1.1               c = 2.8661
#   binding edging: 200, twice, T 0.5           c = 2.3937
#   binding side: 200, twice, T 0.5 + 4 x 0.5   c = 3.9685
#   hem front.left, back.left: 100 each, T 2 x 0.5 = 1   c = 2.7874
#   hem pocket.top: 100, T 3 x 0.5 = 1.5        c = 3.1811
#   line front.quilting, back.quilting: 160 each, T 4.5  c = 5.5433
LINES = [
    (200, 1, Fraction(3, 2)),
    (200, 1, Fraction(11, 10)),
    (200, 2, Fraction(1, 2)),
    (200, 2, Fraction(5, 2)),
    (100, 1, Fraction(1)),
    (100, 1, Fraction(1)),
    (100, 1, Fraction(3, 2)),
    (160, 1, Fraction(9, 2)),
    (160, 1, Fraction(9, 2)),
]
SEWN = sum(length * times for length, times, _ in LINES)
THREAD = sum(length * times * (2 + 20 * thick / Fraction(254, 10)) for length, times, thick in LINES)


THREADS = [
    # 101 through the front's top 0.5 and the tape 0.6, twice: 400 x (3 + 2 x 1.1 x 10/25.4) = 1546.5, + 15 % = 1778.4.
    {
        "stitch": "101",
        "seams": ["other_mouth"],
        "length": "40 cm",
        "ratio": "3.87",
        "used": "1.78 m",
        "buy": buy(count=1),
    },
    {
        "stitch": "301",
        "seams": [
            "bottom",
            "mouth",
            "binding edging",
            "binding side",
            "hem front.left",
            "hem back.left",
            "hem pocket.top",
            "line front.quilting",
            "line back.quilting",
        ],
        "length": "1.82 m",
        "ratio": "3.52",
        "used": "7.37 m",
        "buy": buy(count=1),
    },
]


def paper(**parts: Any) -> Json:
    plain = {
        "format": 1,
        "kind": "supplies",
        "pattern": "Purse",
        "size": GRADE["size"],
        "ruler": "1 mm",
        "settings": SETTINGS,
        "rows": ROWS,
        "thread": THREADS,
        "needles": ["90/14"],
        "cost": [EUR | {"amount": "7.58"}, {"amount": "0.80", "currency": "USD"}],
        "unpriced": ["main_zip slider", "inner_zip", "tab", "mouth", "edging", "ring"],
        "says": [],
    }
    return copy.deepcopy(plain | parts)
