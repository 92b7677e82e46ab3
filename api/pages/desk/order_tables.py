"""The tables of the order form: what a customer may choose, and how the price comes about."""

from __future__ import annotations

from typing import Any

from api.pages.desk.notation import FEES, LONG, MINUTES, TEXT, WORDS, YES
from api.pages.desk.table import Field, Table, part

OFFER = Table(
    "offer",
    ("order",),
    "What the form offers",
    "form",
    (
        Field(("sizes",), "Sizes", WORDS, size=40, hint="all"),
        Field(("options",), "Options", WORDS, size=40, hint="all"),
        Field(("others",), "Measures that are not chosen", TEXT, ("at base", "in proportion")),
    ),
    form="one",
)
CHOOSE = Table(
    "choose",
    ("order", "choose"),
    "Measures that a customer may choose",
    "dimension",
    (Field((0,), "Least"), Field((1,), "Most")),
    blank=["", ""],
    of="dimensions",
)
ROLES = Table(
    "roles",
    ("order", "cloths"),
    "Roles with cloths to choose from",
    "role",
    (),
    blank=[{"name": "usual"}],
    of="materials",
    says="The first cloth of a role is the usual one.",
)
PRICE = Table(
    "price",
    ("order", "price"),
    "The price",
    "price",
    (
        Field(("currency",), "Currency", TEXT, size=4, hint="EUR"),
        Field(("hour",), "An hour of work", TEXT, size=7, hint="32.00"),
        Field(("spoiled",), "For what is cut or sewn anew", TEXT, size=7, hint="3 %"),
        Field(("margin",), "Margin, of the price before fees and tax", TEXT, size=7, hint="30 %"),
        Field(("markup",), "Or a markup on the costs", TEXT, size=7, hint="60 %"),
        Field(("fees",), "Fees of a payment", FEES, size=14, hint="2.9 % + 0.30"),
        Field(("tax", "says"), "Tax", TEXT, size=16, hint="VAT 19 %"),
        Field(("tax", "rate"), "Its rate", TEXT, size=7, hint="19 %"),
        Field(("round_to",), "The total is a multiple of so many cents", size=7),
        Field(("valid_days",), "Days that a quote holds", size=5, hint="14"),
    ),
    form="one",
)
MINUTES_OF_WORK = Table(
    "minutes",
    ("order", "price", "minutes"),
    "Minutes of work on one bag",
    "activity",
    (Field((), "Minutes", MINUTES, size=40),),
    blank=30,
    renames="activity",
    says=(
        "A number, as in 120; on further lines what goes by a length, as in 8 for each 1 m of 2*width + 2*height, "
        "and sizes with a number of their own, as in mini = 90."
    ),
)
ALSO = Table(
    "also",
    ("order", "price", "also"),
    "What an order costs besides",
    "cost",
    (
        Field(("what",), "What", TEXT, size=24, hint="packaging"),
        Field(("amount",), "Amount", TEXT, size=7),
        Field(("per",), "For each", TEXT, ("bag", "order")),
        Field(("at_cost",), "Without margin", YES),
    ),
    form="list",
    blank={"what": "packaging", "amount": "0"},
)
ORDER = (OFFER, CHOOSE, ROLES, PRICE, MINUTES_OF_WORK, ALSO)
_OTHER = (
    Field(("usable_width",), "Usable width"),
    Field(("direction",), "Direction", TEXT, ("any", "two-way", "one-way")),
    Field(("repeat", "across"), "Repeat across"),
    Field(("repeat", "along"), "Repeat along"),
    Field(("shrinkage", "across"), "Washing takes across"),
    Field(("shrinkage", "along"), "Washing takes along"),
    Field(("sold_by",), "Sold by"),
    Field(("price", "amount"), "Price", TEXT, size=6),
    Field(("price", "currency"), "Currency", TEXT, size=4),
    Field(("price", "per"), "Per", size=6),
)


def cloth_tables(document: Any) -> tuple[Table, ...]:
    """A table for each role whose cloth may be chosen."""
    roles = part(document, ("order", "cloths"))
    return tuple(map(_cloths, roles)) if isinstance(roles, dict) else ()


def _cloths(role: str) -> Table:
    return Table(
        f"cloths-{role}",
        ("order", "cloths", role),
        f"Cloths for {role.replace('_', ' ')}",
        f"{role.replace('_', ' ')} cloth",
        (
            Field(("name",), "Name", TEXT, size=14),
            Field(("says",), "What it is", LONG, size=30),
            Field(("colours",), "Colours", WORDS, size=18, hint="#2f6f7a"),
        ),
        "list",
        {"name": "other"},
        says="Under each stands what of it is other than the role says.",
        more=tuple(
            Field(("material", *each.path), each.label, each.notation, each.choices, size=each.size) for each in _OTHER
        ),
    )
