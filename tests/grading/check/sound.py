"""Small patterns of which a check has nothing to say, to plant flaws into; and what a check says of others."""

from __future__ import annotations

from typing import Any

from grading.check import Note
from grading.pipeline import check_document

Json = dict[str, Any]
OVERCAST = {"finish": "overcast"}


def said(document: Json) -> list[Note]:
    """Everything that a check says of a draft."""
    found = check_document(document)
    return [*found.faults, *found.remarks]


def places(document: Json, *kinds: str) -> list[str]:
    """The places of the notes of these kinds."""
    return [note.path for note in said(document) if note.kind in kinds]


def told(document: Json, kind: str) -> Note:
    """The one note of this kind."""
    (note,) = (note for note in said(document) if note.kind == kind)
    return note


def pouch() -> Json:
    """A flat pouch without a lining, hemmed at the top, with a patch pocket from side to side and a press stud."""
    return {
        "format": 1,
        "name": "Flat pouch",
        "dimensions": {
            "width": {"base": 120, "limits": [100, 200], "says": "finished width"},
            "height": {"base": 90, "limits": [80, 300], "says": "finished height"},
            "pocket_width": {"base": 120, "sizing": "decided"},
            "pocket_height": {"base": 50, "limits": [30, 200]},
        },
        "materials": {"main": {"says": "canvas", "usable_width": "1370 mm"}},
        "pieces": {
            "panel": {
                "uses": ["front", "back"],
                "outline": {"rectangle": ["width", "height"]},
                "edges": {
                    "top": {"allowance": "25 mm", "fate": "hemmed twice"},
                    "right": {**OVERCAST},
                    "bottom": {**OVERCAST},
                    "left": {**OVERCAST},
                },
                "notches": {"middle": {"edge": "bottom", "at": "middle"}},
                "layers": [{"material": "main"}],
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
        "contents": {"card": {"in": "pocket", "object": ["86 mm", "54 mm", "1 mm"], "stands_out": "30 mm"}},
        "findings": {"stud": {"hardware": {"what": "press stud"}}},
        "rules": {"shape": {"holds": "height <= 2*width", "because": "it would topple"}},
        "sizes": {"wide": {"set": {"width": "150 mm"}}},
        "steps": [
            {"text": "Hem the tops.", "action": "sew", "finishes": ["front.top", "back.top"]},
            {"text": "Hem the pocket.", "action": "sew", "finishes": ["pocket.top", "pocket.bottom"]},
            {"text": "Tack it {pocket_on_front.clear.top} below.", "action": "tack", "lays": ["pocket_on_front"]},
            {"text": "Sew.", "action": "sew", "makes": ["side", "side_2", "bottom"]},
            {"text": "Sew the stud on. It is a small part.", "action": "sew", "uses": ["stud"]},
        ],
    }


def lined_bag() -> Json:
    """A flat bag with a drop-in lining, turned through an opening in its bottom."""
    side = {"edge": "lining_front.bottom"}
    other = {"edge": "lining_back.bottom"}
    begins, ends = "(width - 140)/2", "(width + 140)/2"
    return {
        "format": 1,
        "name": "Lined bag",
        "dimensions": {"width": {"base": 240, "limits": [200, 300]}, "height": {"base": 200, "limits": [150, 250]}},
        "materials": {"main": {"says": "canvas"}, "inner": {"says": "cotton"}},
        "pieces": {
            "panel": {
                "uses": ["front", "back"],
                "outline": {"rectangle": ["width", "height"]},
                "notches": {"centre": {"edge": "top", "at": "middle"}},
                "layers": [{"material": "main"}],
            },
            "lining": {
                "uses": ["lining_front", "lining_back"],
                "outline": {"rectangle": ["width", "height"]},
                "notches": {"centre": {"edge": "top", "at": "middle"}},
                "layers": [{"material": "inner"}],
            },
        },
        "seams": {
            "side": {"join": ["front.right"], "to": ["back.left"]},
            "side_2": {"join": ["front.left"], "to": ["back.right"]},
            "bottom": {"join": ["front.bottom"], "to": ["back.bottom"]},
            "lining_side": {"join": ["lining_front.right"], "to": ["lining_back.left"]},
            "lining_side_2": {"join": ["lining_front.left"], "to": ["lining_back.right"]},
            "lining_bottom": {"join": [{**side, "to": begins}], "to": [{**other, "from": ends}]},
            "opening": {
                "join": [{**side, "from": begins, "to": ends}],
                "to": [{**other, "from": begins, "to": ends}],
            },
            "lining_bottom_2": {"join": [{**side, "from": ends}], "to": [{**other, "to": begins}]},
            "mouth": {
                "join": ["front.top", "back.top"],
                "to": ["lining_front.top", "lining_back.top"],
                "closed": True,
                "notches": [["front.centre", "lining_front.centre"], ["back.centre", "lining_back.centre"]],
            },
        },
        "steps": [
            {"text": "Close the bag.", "action": "sew", "makes": ["side", "side_2", "bottom"]},
            {"text": "Close the lining's sides.", "action": "sew", "makes": ["lining_side", "lining_side_2"]},
            {"text": "Leave the middle.", "action": "leave open", "makes": ["lining_bottom", "lining_bottom_2"]},
            {"text": "Sew round the mouth.", "action": "sew", "makes": ["mouth"]},
            {"text": "Turn.", "action": "turn"},
            {"text": "Close the opening.", "action": "close", "makes": ["opening"]},
        ],
    }


def zipped_bag() -> Json:
    """Two panels with a zip between their upper edges, sewn together round the other three."""
    return {
        "format": 1,
        "name": "Zipped bag",
        "dimensions": {
            "width": {"base": 200, "limits": [150, 240]},
            "height": {"base": 150, "limits": [100, 200]},
        },
        "stock": {"zips": ["250 mm"]},
        "materials": {"main": {"says": "canvas"}},
        "pieces": {
            "panel": {
                "uses": ["front", "back"],
                "outline": {"rectangle": ["width", "height"]},
                "edges": {edge: {**OVERCAST} for edge in ("top", "right", "bottom", "left")},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {
            "zip_front": {"join": ["front.top"], "to": ["closure.top"], "kind": "zip"},
            "zip_back": {"join": ["closure.bottom"], "to": ["back.top"], "kind": "zip"},
            "side": {"join": ["front.right"], "to": ["back.left"]},
            "bottom": {"join": ["front.bottom"], "to": ["back.bottom"]},
            "side_2": {"join": ["front.left"], "to": ["back.right"]},
        },
        "findings": {"closure": {"zip": {"length": "width", "exposed": 10, "stock": "zips", "shortened": True}}},
        "steps": [
            {"text": "Set the closure in.", "action": "sew", "makes": ["zip_front", "zip_back"]},
            {"text": "Open the zip. Sew.", "action": "sew", "makes": ["side", "bottom", "side_2"]},
            {"text": "Turn.", "action": "turn"},
        ],
    }
