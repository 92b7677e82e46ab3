"""Made-up bags of any number of pieces, as pattern documents: figures are invented; what matters is the shape.

A lined bag of a rounded panel in a ring and a strap, and as many pockets as it takes: each with a face, a lining and a
gusset between them, and a lined flap with rounded corners that is laid on the panel.
"""

from __future__ import annotations

from typing import Any

Document = dict[str, Any]
PIECES_OF_BODY = 5
PIECES_OF_POCKET = 5


def bag(pieces: int) -> Document:
    """A bag of this many pieces. Raises ValueError unless they are a multiple of 5, from 10 to 1,000."""
    pockets, rest = divmod(pieces - PIECES_OF_BODY, PIECES_OF_POCKET)
    if rest or not 10 <= pieces <= 1000:
        msg = f"no bag has {pieces} pieces here"
        raise ValueError(msg)
    document = _body()
    for number in range(pockets):
        for section, entries in _pocket(number).items():
            if section == "steps":
                document[section] += entries
            else:
                document[section] |= entries
    return document


def _layers(material: str) -> list[dict[str, Any]]:
    return [{"material": material}]


def _raw(*edges: str) -> dict[str, Any]:
    return {edge: {"fate": "raw"} for edge in edges}


def _body() -> Document:
    ring = [f"panel.{edge}" for edge in ("left", "bottom_left", "bottom", "bottom_right", "right")]
    inner = [entry.replace("panel.", "lining.") for entry in ring]
    return {
        "format": 1,
        "name": "Bag of many pockets",
        "dimensions": {
            "width": {"base": 420, "limits": [300, 640]},
            "height": {"base": 460, "limits": [320, 700]},
            "depth": {"base": 150, "limits": [80, 260]},
            "corner": {"base": 60, "limits": [30, 110]},
            "band_length": {"base": 1214, "sizing": "decided"},
            "lining_width": {"base": 420, "sizing": "decided"},
            "strap_length": {"base": 700, "limits": [400, 1200]},
            "strap_width": {"base": "40 mm", "sizing": "stock", "stock": "webbing"},
        },
        "stock": {"webbing": ["25 mm", "30 mm", "40 mm", "50 mm"]},
        "materials": {"main": {"usable_width": "1400 mm"}, "inner": {"usable_width": "1400 mm"}},
        "pieces": {
            "panel": {
                "outline": _rounded("width", "height", "corner"),
                "edges": _raw("top"),
                "layers": _layers("main"),
            },
            "lining": {
                "outline": _rounded("lining_width", "height", "corner"),
                "edges": _raw("top"),
                "layers": _layers("inner"),
            },
            "band": {
                "outline": {"rectangle": ["band_length", "depth"]},
                "edges": _raw("left", "right"),
                "strip": True,
                "layers": _layers("main"),
            },
            "strap_cover": {
                "outline": {"rectangle": ["strap_length", "2*strap_width"]},
                "edges": _raw("left", "right", "top", "bottom"),
                "layers": _layers("main"),
            },
            "tab": {
                "outline": {"rectangle": ["strap_width + 20", "60"]},
                "edges": _raw("left", "right", "top", "bottom"),
                "layers": _layers("main"),
            },
        },
        "seams": {
            "ring": {"join": ["band.top"], "to": ring},
            "inner_ring": {"join": ["band.bottom"], "to": inner},
        },
        "coverings": {},
        "findings": {"strap": {"webbing": {"width": "strap_width", "length": "strap_length", "stock": "webbing"}}},
        "rules": {"upright": {"holds": "height <= 2*width", "because": "it would topple"}},
        "steps": [{"text": "Set the band in.", "action": "sew", "makes": ["ring", "inner_ring"]}],
    }


def _rounded(width: str, height: str, corner: str) -> dict[str, Any]:
    corners = {"bottom_left": corner, "bottom_right": corner}
    return {"rounded_rectangle": {"width": width, "height": height, "corners": corners}}


def _pocket(number: int) -> Document:
    name = f"pocket{number}"
    flap = [f"{name}_flap.{edge}" for edge in ("right", "bottom_right", "bottom", "bottom_left", "left")]
    lining = [f"{name}_flap_lining.{edge}" for edge in ("left", "bottom_left", "bottom", "bottom_right", "right")]
    return {
        "dimensions": _pocket_dimensions(name, number),
        "pieces": _pocket_pieces(name),
        "seams": {
            f"{name}_top": {"join": [f"{name}_face.top"], "to": [f"{name}_inside.top"]},
            f"{name}_outer": {"join": [f"{name}_gusset.top"], "to": _three(f"{name}_face"), "ease": "2 mm"},
            f"{name}_inner": {"join": [f"{name}_gusset.bottom"], "to": _three(f"{name}_inside"), "ease": "2 mm"},
            f"{name}_flap_top": {"join": [f"{name}_flap.top"], "to": [f"{name}_flap_lining.top"]},
            f"{name}_flap_edge": {"join": flap, "to": lining},
        },
        "coverings": {
            f"{name}_flap_on_panel": {
                "piece": f"{name}_flap",
                "over": "panel",
                "clear": {"left": "24 mm", "top": f"{20 + number % 40} mm"},
            }
        },
        "rules": {
            f"{name}_covered": {"holds": f"{name}_flap_width == {name}_width + 6", "because": "the flap covers it"},
            f"{name}_fits": {"holds": f"{name}_width + 40 <= width", "because": "it lies on the panel"},
            f"{name}_low": {"holds": f"{name}_height + {name}_flap_height <= height - 40", "because": "it lies there"},
            f"{name}_flat": {"holds": f"2*{name}_depth <= depth", "because": "two lie behind each other"},
            f"{name}_phone": {"holds": f"{name}_height >= 90", "because": "a telephone has to go in"},
        },
        "steps": [
            {"text": "Line the flap.", "action": "sew", "makes": [f"{name}_flap_top", f"{name}_flap_edge"]},
            {"text": f"Set in {{{name}_depth}}.", "action": "sew", "makes": [f"{name}_top"]},
            {"text": "Close the gusset.", "action": "sew", "makes": [f"{name}_outer", f"{name}_inner"]},
            {"text": "Tack the flap.", "action": "tack", "lays": [f"{name}_flap_on_panel"]},
        ],
    }


def _three(piece: str) -> list[str]:
    return [f"{piece}.left", f"{piece}.bottom", f"{piece}.right"]


def _pocket_dimensions(name: str, number: int) -> Document:
    width, height = 290 + 10 * (number % 9), 120 + 10 * (number % 7)
    decided = {
        "gusset_length": width + 2 * height + 2,
        "inside_width": width,
        "inside_height": height,
        "flap_width": width + 6,
        "flap_lining_width": width + 6,
        "flap_lining_height": 70,
    }
    return {
        f"{name}_width": {"base": width, "limits": [80, 600]},
        f"{name}_height": {"base": height, "limits": [70, 360]},
        f"{name}_depth": {"base": 24, "limits": [12, 80]},
        f"{name}_flap_height": {"base": 70, "limits": [40, 160]},
        **{f"{name}_{part}": {"base": base, "sizing": "decided"} for part, base in decided.items()},
    }


def _pocket_pieces(name: str) -> Document:
    return {
        f"{name}_face": {"outline": {"rectangle": [f"{name}_width", f"{name}_height"]}, "layers": _layers("main")},
        f"{name}_inside": {
            "outline": {"rectangle": [f"{name}_inside_width", f"{name}_inside_height"]},
            "layers": _layers("inner"),
        },
        f"{name}_gusset": {
            "outline": {"rectangle": [f"{name}_gusset_length", f"{name}_depth"]},
            "edges": _raw("left", "right"),
            "strip": True,
            "layers": _layers("main"),
        },
        f"{name}_flap": {
            "outline": _rounded(f"{name}_flap_width", f"{name}_flap_height", "20"),
            "layers": _layers("main"),
        },
        f"{name}_flap_lining": {
            "outline": _rounded(f"{name}_flap_lining_width", f"{name}_flap_lining_height", "20"),
            "layers": _layers("inner"),
        },
    }
