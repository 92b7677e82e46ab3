"""Which forms of the editor ask for another name, and which write a text."""

from __future__ import annotations

from typing import Any

import pytest

from api.pages.desk.changes import NOTHING
from api.pages.desk.piece_tables import piece_tables
from api.pages.desk.renaming import renamed_in, renamed_row
from api.pages.desk.sections import OPTIONS, PIECES, SEAMS

DOCUMENT: dict[str, Any] = {
    "options": {"pocket": {"choices": ["none", "open"]}},
    "pieces": {
        "panel": {
            "uses": ["front", {"name": "back", "mirrored": True}],
            "outline": {
                "start": ["0", "0"],
                "edges": [{"name": "top", "to": ["1", "0"]}, {"name": "side", "to": ["0", "0"]}],
            },
        },
        "flap": {},
    },
}
PATH = next(table for table in piece_tables("panel", DOCUMENT["pieces"]["panel"]) if table.name == "path")
EDGES = "f:pieces.panel.outline.edges"


@pytest.mark.parametrize(
    ("table", "form", "asked"),
    [
        (PATH, {f"{EDGES}.0:name": "mouth"}, ("edge", "panel.top", "mouth")),
        (PATH, {f"{EDGES}.0:name": "side"}, None),
        (PATH, {f"{EDGES}.0:name": "The mouth"}, None),
        (PATH, {f"{EDGES}.0:name": "mouth", f"{EDGES}.0:to.0": "2"}, None),
        (PATH, {f"{EDGES}.0:to.0": "2"}, None),
        (PIECES, {"f:pieces.panel:uses": "face, back mirrored"}, ("use", "front", "face")),
        (PIECES, {"f:pieces.panel:uses": "front, rear mirrored"}, ("use", "back", "rear")),
        (PIECES, {"f:pieces.panel:uses": "front, back"}, None),
        (PIECES, {"f:pieces.panel:uses": "front"}, None),
        (PIECES, {"f:pieces.panel:uses": "back, front"}, None),
        (PIECES, {"f:pieces.flap:uses": "lid"}, ("use", "flap", "lid")),
        (PIECES, {"f:pieces.flap:uses": "lid, lid_2"}, None),
        (OPTIONS, {"f:options.pocket:choices": "none, zipped"}, ("choice", "pocket.open", "zipped")),
        (OPTIONS, {"f:options.pocket:choices": "none, open, zipped"}, None),
    ],
)
def test_another_name_alone_in_its_field_is_a_renaming(table: Any, form: Any, asked: Any) -> None:
    change = renamed_in(DOCUMENT, table, form)
    if asked is None:
        assert change is NOTHING
    else:
        assert change.rename == dict(zip(("kind", "from", "to"), asked, strict=True))
        assert change.patch == ()


def test_a_row_is_renamed_by_what_it_is() -> None:
    asked = renamed_row(SEAMS, ("seams", "side"), "edge_seam").rename
    assert asked == {"kind": "seam", "from": "side", "to": "edge_seam"}
    assert renamed_row(SEAMS, ("seams", "side"), "side") is NOTHING
