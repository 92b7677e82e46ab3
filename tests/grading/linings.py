"""A bucket bag of a padded wall and a round base, lined in each of the three ways."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]


def bucket(foam: str = "5 mm") -> Json:
    """Flat-lined: the lining is one more layer, caught in the same seams; the allowances are bound."""
    return {
        "format": 1,
        "name": "Bucket",
        "dimensions": {
            "radius": {"base": 90, "limits": [60, 150], "says": "radius of the base"},
            "girth": {"base": 565, "sizing": "decided", "says": "way round the wall"},
            "height": {"base": 240, "limits": [180, 320]},
        },
        "materials": {
            "main": {"says": "waxed canvas", "usable_width": "1400 mm", "thickness": "0.8 mm"},
            "foam": {"says": "foam", "kind": "foam", "usable_width": "1400 mm", "thickness": foam},
            "lining": {"says": "cotton", "usable_width": "1100 mm", "thickness": "0.25 mm"},
        },
        "pieces": {
            "wall": {
                "outline": {"rectangle": ["girth", "height"]},
                "edges": {
                    "top": {"fate": "hemmed once"},
                    "right": {"finish": "overcast"},
                    "left": {"finish": "overcast"},
                    "bottom": {"finish": "overcast"},
                },
                "layers": [{"material": "main"}, {"material": "foam", "inset": "2 mm"}, {"material": "lining"}],
            },
            "base": {
                "outline": {"disc": {"radius": "radius"}},
                "edges": {"rim": {"finish": "overcast"}},
                "layers": [{"material": "main"}, {"material": "foam", "inset": "2 mm"}, {"material": "lining"}],
            },
        },
        "seams": {
            "side": {"join": ["wall.right"], "to": ["wall.left"]},
            "bottom": {"join": ["base.rim"], "to": ["wall.bottom"], "closed": True},
        },
        "sizes": {"small": {"scale": "3/4"}, "large": {"scale": "6/5"}},
    }


def _with_own_lining(document: Json) -> Json:
    for piece in ("wall", "base"):
        document["pieces"][piece]["layers"].pop()
        document["pieces"][piece]["edges"] = {}
    document["dimensions"] |= {
        "lining_radius": {"base": 85, "sizing": "decided", "says": "radius of the lining's base"},
        "lining_girth": {"base": 534, "sizing": "decided", "says": "way round the lining"},
    }
    document["pieces"] |= {
        "lining_wall": {
            "outline": {"rectangle": ["lining_girth", "height"]},
            "layers": [{"material": "lining"}],
        },
        "lining_base": {"outline": {"disc": {"radius": "lining_radius"}}, "layers": [{"material": "lining"}]},
    }
    document["seams"]["lining_bottom"] = {
        "join": ["lining_base.rim"],
        "to": ["lining_wall.bottom"],
        "closed": True,
    }
    return document


def drop_in_bucket(foam: str = "5 mm") -> Json:
    """Drop-in: a lining of its own pieces, both mouths turned in and topstitched to each other."""
    document = _with_own_lining(bucket(foam))
    hidden = {"finish": "raw"}  # between the bag and its lining
    for piece in ("wall", "lining_wall"):
        edges = {"top": {"fate": "hemmed once"}, "right": hidden, "bottom": hidden, "left": hidden}
        document["pieces"][piece]["edges"] = edges
    for piece in ("base", "lining_base"):
        document["pieces"][piece]["edges"] = {"rim": hidden}
    document["seams"] |= {
        "lining_side": {"join": ["lining_wall.right"], "to": ["lining_wall.left"]},
        "mouth": {
            "join": ["wall.top"],
            "to": ["lining_wall.top"],
            "closed": True,
            "kind": "topstitched",
            "ease": "2*pi*thickness_foam",
            "says": "the lining lies inside the foam and is shorter round the mouth",
        },
    }
    return document


def bagged_out_bucket(foam: str = "5 mm") -> Json:
    """Bagged-out: the mouths are sewn right sides together, and the bag is turned through the lining's side seam."""
    document = _with_own_lining(bucket(foam))
    document["dimensions"]["opening"] = {"base": 140, "sizing": "fixed", "says": "left open to turn the bag through"}
    above, below = "(height - opening)/2", "(height + opening)/2"
    document["seams"] |= {
        "lining_side": {
            "join": [{"edge": "lining_wall.right", "to": above}],
            "to": [{"edge": "lining_wall.left", "from": below}],
        },
        "lining_opening": {
            "join": [{"edge": "lining_wall.right", "from": above, "to": below}],
            "to": [{"edge": "lining_wall.left", "from": above, "to": below}],
        },
        "lining_side_2": {
            "join": [{"edge": "lining_wall.right", "from": below}],
            "to": [{"edge": "lining_wall.left", "to": above}],
        },
        "mouth": {
            "join": ["wall.top"],
            "to": ["lining_wall.top"],
            "closed": True,
            "ease": "2*pi*thickness_foam",
            "says": "the lining lies inside the foam and is shorter round the mouth",
        },
    }
    document["steps"] = [
        {"text": "Close the wall.", "action": "sew", "makes": ["side"]},
        {"text": "Set in the base.", "action": "sew", "makes": ["bottom"]},
        {"text": "Leave {opening} open.", "action": "leave open", "makes": ["lining_side", "lining_side_2"]},
        {"text": "Set in the lining's base.", "action": "sew", "makes": ["lining_bottom"]},
        {"text": "Sew right round the mouth ({mouth.length}).", "action": "sew", "makes": ["mouth"]},
        {"text": "Turn the bag through the opening.", "action": "turn"},
        {"text": "Close the opening.", "action": "close", "makes": ["lining_opening"]},
    ]
    return document
