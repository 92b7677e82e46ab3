"""What a new draft begins with."""

from __future__ import annotations

from typing import Any

SYSTEMS: dict[str, dict[str, str]] = {
    "metric": {"unit": "mm", "ruler": "1 mm", "allowance": "10 mm", "seam_tolerance": "1.5 mm"},
    "imperial": {"unit": "in", "ruler": "1/8 in", "allowance": "3/8 in", "seam_tolerance": "1/16 in"},
}


def empty_draft(name: str, system: str) -> dict[str, Any]:
    """A document with a name and a ruler, and nothing drawn yet."""
    return {
        "format": 1,
        "name": name,
        **SYSTEMS[system],
        "edition": {"system": system, "state": "drafted"},
        "dimensions": {},
        "materials": {},
        "pieces": {},
        "seams": {},
        "sizes": {},
        "steps": [],
    }
