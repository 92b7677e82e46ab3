"""The tables of findings, one for each kind."""

from __future__ import annotations

from typing import Any

from api.pages.desk.notation import SIDES, TEXT, YES
from api.pages.desk.table import Field, Table


def _finding(kind: str, title: str, blank: dict[str, Any], *fields: Field) -> Table:
    inner = tuple(
        Field((kind, *each.path), each.label, each.notation, each.choices, each.of, each.size) for each in fields
    )
    price = tuple(
        Field(("price", key), label, TEXT, size=5)
        for key, label in (("amount", "Price"), ("currency", "Currency"), ("per", "Per"))
    )
    more = (Field(("count",), "Count", size=4), *price, Field(("says",), "Remark", TEXT, size=24))
    return Table(kind, ("findings",), title, kind, (*inner, *more), blank={kind: blank}, kind=kind)


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
WEBBING = (WIDTH, LENGTH, STOCK, Field(("ends", "by"), "Each end longer by"), Field(("ends", "count"), "Ends", size=4))
BINDING = (
    Field(("width",), "Strip width"),
    Field(("along",), "Along", SIDES, size=20),
    Field(("join",), "To join"),
    Field(("cut_on",), "Cut", TEXT, ("bias", "straight", "bought")),
    Field(("material",), "Cloth", TEXT, of="materials"),
)
FINDINGS = (
    _finding("zip", "Zips", {"length": "", "exposed": "6 mm", "stock": ""}, *ZIPS),
    _finding("webbing", "Webbing", {"width": "25 mm", "length": ""}, *WEBBING),
    _finding("elastic", "Elastic", {"width": "10 mm", "length": ""}, WIDTH, LENGTH, STRETCH),
    _finding("binding", "Binding", {"width": "40 mm", "along": []}, *BINDING),
    _finding("hardware", "Hardware", {"what": ""}, Field(("what",), "What", TEXT, size=26), WIDTH, STOCK),
)
