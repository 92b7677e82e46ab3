"""The tables of findings, one for each kind."""

from __future__ import annotations

from typing import Any

from api.pages.desk.notation import LONG, SIDES, TEXT, YES
from api.pages.desk.table import Field, Table


def _finding(kind: str, title: str, blank: dict[str, Any], *fields: Field, further: tuple[Field, ...] = ()) -> Table:
    main, rest = (
        tuple(Field((kind, *each.path), each.label, each.notation, each.choices, each.of, each.size) for each in given)
        for given in (fields, further)
    )
    count = Field(("count",), "Count", size=4)
    price = (
        Field(("price", "amount"), "Price", TEXT, size=6),
        Field(("price", "currency"), "Currency", TEXT, size=4),
        Field(("price", "per"), "Per", size=6),
    )
    more = (*rest, *price, Field(("says",), "Remark", LONG, size=24))
    columns = (*main, count)
    return Table(
        kind,
        ("findings",),
        title,
        kind,
        columns,
        blank={kind: blank},
        kind=kind,
        more=more,
        renames="finding",
        keeps=1,
    )


STOCK = Field(("stock",), "Stock", TEXT, of="stock")
WIDTH = Field(("width",), "Width")
LENGTH = Field(("length",), "Length", size=14)
STRETCH = Field(("stretch",), "Stretch", size=6)
ZIPS = (
    Field(("length",), "Length"),
    Field(("exposed",), "Shows"),
    STOCK,
    Field(("shortened",), "Shortened", YES),
    Field(("sliders",), "Sliders", size=4),
)
ENDS = (Field(("ends", "by"), "Each end longer by"), Field(("ends", "count"), "Ends", size=4))
WORN = (
    Field(("adjusts", "least"), "Worn at its shortest"),
    Field(("adjusts", "most"), "Worn at its longest"),
    Field(("adjusts", "takes"), "Hardware takes up"),
    Field(("adjusts", "doubled"), "Runs back through a slider", YES),
)
BINDING = (
    Field(("width",), "Strip width"),
    Field(("along",), "Along", SIDES, size=20),
    Field(("join",), "To join"),
    Field(("cut_on",), "Cut", TEXT, ("bias", "straight", "bought")),
    Field(("material",), "Cloth", TEXT, of="materials"),
)
FINDINGS = (
    _finding("zip", "Zips", {"length": "", "exposed": "6 mm", "stock": ""}, *ZIPS),
    _finding("webbing", "Webbing", {"width": "25 mm", "length": ""}, WIDTH, LENGTH, STOCK, *ENDS, further=WORN),
    _finding("elastic", "Elastic", {"width": "10 mm", "length": ""}, WIDTH, LENGTH, STRETCH, *ENDS),
    _finding("binding", "Binding", {"width": "40 mm", "along": []}, *BINDING),
    _finding("hardware", "Hardware", {"what": ""}, Field(("what",), "What", TEXT, size=26), WIDTH, STOCK),
)
