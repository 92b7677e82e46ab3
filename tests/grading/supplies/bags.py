"""Small patterns for tests of supplies and bulk, and their documents."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from grading.pipeline import grade_size, read_document
from grading.workroom import bulk_document, bulk_of, supplies_document, supplies_of

Json = dict[str, Any]
RAW = {"allowance": 0, "fate": "raw"}


def band(length: str, *, thickness: str = "0.5 mm", ruler: str = "1 mm", **seam: Any) -> Json:
    """Two strips sewn to each other along their tops, over the length given; everything else is left raw."""
    return {
        "format": 1,
        "name": "Band",
        "ruler": ruler,
        "dimensions": {"length": {"base": length, "sizing": "fixed"}},
        "stock": {
            "zips": [
                {"metric": "150 mm", "imperial": "6 in"},
                {"metric": "200 mm", "imperial": "8 in"},
                {"metric": "250 mm", "imperial": "10 in"},
            ]
        },
        "materials": {"main": {"thickness": thickness}},
        "pieces": {
            "strip": {
                "uses": ["one", {"name": "other", "mirrored": True}],
                "outline": {"rectangle": ["length", "80 mm"]},
                "edges": {"right": RAW, "bottom": RAW, "left": RAW},
                "layers": [{"material": "main"}],
            }
        },
        "seams": {"top": {"join": ["one.top"], "to": ["other.top forward"], **seam}},
        "findings": {},
    }


def with_findings(findings: Mapping[str, Json], ruler: str = "1 mm") -> Json:
    """The band, half a metre long, with findings."""
    return band("500 mm", ruler=ruler) | {"findings": dict(findings)}


def supplied(document: Json, settings: Json | None = None, layouts: Json | None = None, size: str = "base") -> Json:
    """The document of the supplies of a pattern."""
    return supplies_document(supplies_of(grade_size(read_document(document), size=size), settings, layouts))


def row_of(supplies: Json, name: str) -> Json:
    """The row of a name."""
    (row,) = (row for row in supplies["rows"] if row["name"] == name)
    return dict(row)


def bulky(document: Json, settings: Json | None = None, size: str = "base") -> Json:
    """The document of the bulk of a pattern."""
    return bulk_document(bulk_of(grade_size(read_document(document), size=size), settings))


def places_of(bulk: Json, seam: str, kind: str | None = None) -> list[Json]:
    """The places of a seam, hem or binding; of one kind, if it is given."""
    return [place for place in bulk["places"] if place["seam"] == seam and kind in (None, place["kind"])]
