"""Small hand-made patterns for tests, and ways to change them."""

from __future__ import annotations

import copy
from enum import Enum
from typing import Any

from grading.document import Pattern, read_pattern
from grading.exact import Ruler, read_ruler
from grading.model import Model, build_model

Json = dict[str, Any]


class Absence(Enum):
    """Stands for a field that is taken out."""

    GONE = "gone"


GONE = Absence.GONE


def pouch() -> Json:
    """A flat pouch: front and back of one piece, hemmed at the top, with a patch pocket on the front."""
    return {
        "format": 1,
        "name": "Flat pouch",
        "dimensions": {
            "width": {"base": 120, "limits": [80, 200], "says": "finished width"},
            "height": {"base": 90, "says": "finished height"},
            "pocket_width": {"base": 120, "sizing": "decided"},
            "pocket_height": {"base": 50},
        },
        "stock": {"zips": ["100 mm", "120 mm", "150 mm"]},
        "materials": {"main": {"says": "canvas", "usable_width": "1370 mm"}, "lining": {"says": "cotton"}},
        "pieces": {
            "panel": {
                "uses": ["front", "back"],
                "outline": {"rectangle": ["width", "height"]},
                "edges": {
                    "top": {"allowance": "25 mm", "fate": "hemmed twice"},
                    "right": {"finish": "overcast"},
                    "bottom": {"finish": "overcast"},
                    "left": {"finish": "overcast"},
                },
                "notches": {"middle": {"edge": "bottom", "at": "middle"}},
                "lines": {"floor": {"from": [0, -80], "to": ["width", -80]}},
                "layers": [{"material": "main"}, {"material": "lining"}],
            },
            "pocket": {
                "outline": {"rectangle": ["pocket_width", "pocket_height"]},
                "edges": {"top": {"fate": "hemmed once"}, "bottom": {"fate": "hemmed once"}},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {
            "side": {"join": ["front.right"], "to": ["back.left"]},
            "side_2": {"join": ["front.left"], "to": ["back.right"]},
            "bottom": {
                "join": ["front.bottom"],
                "to": ["back.bottom"],
                "notches": [["front.middle", "back.middle"]],
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
        "contents": {"card": {"in": "pocket", "object": ["86 mm", "54 mm", "1 mm"], "stands_out": "20 mm"}},
        "findings": {"stud": {"hardware": {"what": "press stud"}}},
        "rules": {"shape": {"holds": "height <= 2*width", "because": "it would topple"}},
        "sizes": {"wide": {"set": {"width": "150 mm"}}},
        "steps": [
            {"text": "Hem the tops.", "action": "sew", "finishes": ["front.top", "back.top"]},
            {"text": "Hem the pocket.", "action": "sew", "finishes": ["pocket.top", "pocket.bottom"]},
            {"text": "Tack it {pocket_on_front.clear.top} below.", "action": "tack", "lays": ["pocket_on_front"]},
            {"text": "Sew.", "action": "sew", "makes": ["side", "side_2", "bottom"], "uses": ["stud"]},
        ],
    }


def sheet(outline: Json, dimensions: dict[str, float | str] | None = None, **piece: Any) -> Json:
    """A pattern of one piece, named sheet, whose edges are raw and have the default allowance of 10 mm."""
    return {
        "format": 1,
        "name": "One sheet",
        "dimensions": {name: {"base": base} for name, base in (dimensions or {"width": 120, "height": 90}).items()},
        "materials": {"main": {}},
        "pieces": {"sheet": {"outline": outline, "layers": [{"material": "main"}], **piece}},
    }


def changed(document: Json, path: str, value: Any) -> Json:
    """A copy with the value at a path (keys and places joined by dots) replaced, added, or taken out (GONE)."""
    result = copy.deepcopy(document)
    *way, last = path.split(".")
    place: Any = result
    for step in way:
        place = place[int(step)] if isinstance(place, list) else place.setdefault(step, {})
    key: Any = int(last) if isinstance(place, list) else last
    if value is GONE:
        del place[key]
    elif isinstance(place, list) and key == len(place):
        place.append(value)
    else:
        place[key] = value
    return result


def model_of(document: Json, ruler: str | None = None) -> Model:
    """The model of a pattern, on its own ruler or another one."""
    pattern = read_pattern(document)
    return build_model(pattern, ruler_of(pattern) if ruler is None else read_ruler(ruler))


def ruler_of(pattern: Pattern) -> Ruler:
    """A pattern's own ruler."""
    return read_ruler(pattern.ruler, pattern.unit)
