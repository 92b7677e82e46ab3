"""A draft with faults that were left in it on purpose."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]


def unfinished_tote() -> Json:
    """An unlined tote with boxed corners whose draft is not finished; faults are left in it on purpose."""
    return {
        "format": 1,
        "name": "Market tote",
        "unit": "mm",
        "ruler": "1 mm",
        "allowance": "10 mm",
        "seam_tolerance": "1.5 mm",
        "dimensions": {
            "width": {"base": 360, "says": "finished width", "limits": [200, 520]},
            "height": {"base": 380, "says": "finished height", "limits": [220, 520]},
            "depth": {"base": 120, "says": "finished depth", "limits": [60, 200]},
            "pocket_width": {"base": 480, "sizing": "decided"},
            "pocket_height": {"base": 180},
            "handle_length": {"base": 620, "sizing": "fixed"},
            "handle_width": {"base": 25, "sizing": "stock", "stock": "webbing"},
        },
        "stock": {"webbing": ["20 mm", "25 mm", "32 mm", "38 mm"]},
        "materials": {
            "main": {
                "says": "printed canvas",
                "usable_width": "1370 mm",
                "direction": "one-way",
                "repeat": {"across": "160 mm", "along": "160 mm"},
                "shrinkage": {"along": "3 %", "across": "2 %"},
                "thickness": "0.6 mm",
            },
            "lining": {"says": "plain cotton", "usable_width": "1100 mm", "direction": "any", "thickness": "0.25 mm"},
        },
        "pieces": {
            "panel": {
                "uses": ["front", "back"],
                "outline": {
                    "start": ["-(width + depth)/2", "0"],
                    "edges": [
                        {"name": "top", "to": ["(width + depth)/2", "0"]},
                        {"name": "right", "to": ["(width + depth)/2", "-height"]},
                        {"name": "right_in", "to": ["width/2", "-height"]},
                        {"name": "right_up", "to": ["width/2", "-height - depth/2"]},
                        {"name": "bottom", "to": ["-width/2", "-height - depth/2"]},
                        {"name": "left_up", "to": ["-width/2", "-height"]},
                        {"name": "left_in", "to": ["-(width + depth)/2", "-height"]},
                        {"name": "left", "to": ["-(width + depth)/2", "0"]},
                    ],
                },
                "edges": {"top": {"allowance": "40 mm", "fate": "hemmed twice"}},
                "grain": "along",
                "up": "top",
                "layers": [{"material": "main"}, {"material": "lining"}],
            },
            "pocket": {
                "outline": {"rectangle": ["pocket_width", "pocket_height"]},
                "edges": {"top": {"allowance": "25 mm", "fate": "hemmed twice"}},
                "grain": "along",
                "up": "top",
                "layers": [{"material": "main"}],
            },
        },
        "seams": {
            "side": {"join": ["front.right"], "to": ["back.left"]},
            "side_2": {"join": ["front.left"], "to": ["back.right"]},
            "bottom": {"join": ["front.bottom"], "to": ["back.bottom"]},
            "box": {"join": ["front.right_up", "back.left_up"], "to": ["front.right_in", "back.left_in"]},
            "box_2": {"join": ["front.left_in", "back.right_in"], "to": ["front.left_up", "back.right_up"]},
        },
        "coverings": {
            "pocket_on_front": {
                "piece": "pocket",
                "over": "front",
                "face": "up",
                "caught": {"left": "left", "right": "right"},
                "clear": {"top": "80 mm"},
                "says": "the pocket runs from side seam to side seam",
            }
        },
        "contents": {
            "magazine": {
                "in": "pocket",
                "object": ["210 mm", "297 mm", "12 mm"],
                "stands_out": "140 mm",
                "ease": "10 mm",
            }
        },
        "findings": {
            "handle": {
                "webbing": {
                    "width": "handle_width",
                    "length": "handle_length",
                    "stock": "webbing",
                    "ends": {"by": "40 mm"},
                },
                "count": 2,
            }
        },
        "rules": {"shoulder": {"holds": "handle_length >= 600", "because": "the handles go over a shoulder"}},
        "sizes": {
            "mini": {"scale": "7/10"},
            "large": {"scale": "5/4"},
            "wide": {"set": {"width": "450 mm"}, "others": "at base"},
        },
        "steps": [
            {
                "text": "Fold the pocket's upper edge by {pocket.top.allowance} and stitch.",
                "action": "sew",
                "finishes": ["pocket.top"],
            },
            {
                "text": "Lay the pocket on the front, {pocket_on_front.clear.top} below the fold, and tack its sides.",
                "action": "tack",
                "uses": ["pocket", "front"],
                "lays": ["pocket_on_front"],
            },
            {
                "text": "Close the sides ({side.length}) and the bottom ({bottom.length}).",
                "action": "sew",
                "makes": ["side", "side_2", "bottom"],
            },
            {"text": "Box the corners.", "action": "sew", "makes": ["box", "box_2"]},
        ],
    }
